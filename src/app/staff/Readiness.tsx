import { readinessNames } from '../../records/note';
import { readiness } from '../../records/schema';
import styles from './Staff.module.css';

/** How ready the learner is; nothing is said of it until somebody chooses. */
export const Readiness = () => (
  <label className={styles.field}>
    Readiness to learn
    <select name="readiness">
      <option value="">not entered</option>
      {readiness.map((how) => (
        <option key={how} value={how}>
          {readinessNames[how]}
        </option>
      ))}
    </select>
  </label>
);
