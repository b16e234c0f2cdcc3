import { useState } from 'react';
import { readinessNames } from '../../records/note';
import { readiness } from '../../records/schema';
import styles from './Staff.module.css';

/** How ready the learner is; nothing is said of it until somebody chooses. */
export function Readiness() {
  const [how, setHow] = useState('');
  return (
    <>
      <label className={styles.field}>
        Readiness to learn
        <select name="readiness" value={how} onChange={(event) => setHow(event.target.value)}>
          <option value="">not entered</option>
          {readiness.map((one) => (
            <option key={one} value={one}>
              {readinessNames[one]}
            </option>
          ))}
        </select>
      </label>
      {how === 'not-now' && (
        <p className={styles.caption}>
          A visit may be started all the same; another time may serve this person better.
        </p>
      )}
    </>
  );
}
