import type { Outcome, VisitRecord } from '../../records/derive';
import { readinessNames } from '../../records/note';
import { outcomeNames } from '../../records/outcome-names';
import { missedIn, recheckAfter, thenAndNow } from '../../records/recheck';
import { shortTime } from '../shared/dates';
import styles from './Staff.module.css';

const colors: Partial<Record<Outcome, string | undefined>> = {
  'first-try': styles.learned,
  'after-reteach': styles.learned,
  confirmed: styles.learned,
  'needs-person': styles.needsPerson,
};

/** Of a re-check, what came of each point then and now; of any visit that missed something, the way to one. */
export function Rechecked({
  record,
  onRecheck,
}: {
  record: VisitRecord;
  onRecheck?: (() => void) | undefined;
}) {
  const { start, state } = record;
  const points = thenAndNow(record);
  const missed = state === 'open' ? [] : missedIn(record);
  return (
    <>
      {start?.readiness && <p>Readiness to learn, as entered: {readinessNames[start.readiness]}.</p>}
      {start?.recheck && (
        <>
          <h2>Re-check of the visit of {shortTime(start.recheck.at)}</h2>
          <table className={styles.table}>
            <thead>
              <tr>
                <th>Point</th>
                <th>Then</th>
                <th>Now</th>
              </tr>
            </thead>
            <tbody>
              {points.map(({ concept, label, before, now }) => (
                <tr key={concept}>
                  <td>{label}</td>
                  <td>{outcomeNames[before]}</td>
                  <td>
                    <strong className={colors[now]}>{outcomeNames[now]}</strong>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
      {missed.length > 0 && onRecheck && (
        <div className={styles.buttons}>
          <button type="button" onClick={onRecheck}>
            Check the missed points again
          </button>
          <span className={styles.caption}>
            A short visit of {missed.length === 1 ? 'one point' : `${missed.length} points`}, best{' '}
            {recheckAfter.least} to {recheckAfter.most} hours after this one.
          </span>
        </div>
      )}
    </>
  );
}
