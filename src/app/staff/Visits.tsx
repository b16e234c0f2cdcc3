import type { VisitHeader } from '../../records/types';
import styles from './Staff.module.css';

/** The visits on this device, newest first. Names stay in the record. */
export function Visits({
  visits,
  notices,
  onOpen,
  onGoOn,
  onRecordings,
  onBack,
}: {
  visits: VisitHeader[];
  notices: string[];
  onOpen: (visit: string) => void;
  onGoOn: (visit: string) => void;
  onRecordings: () => void;
  onBack: () => void;
}) {
  return (
    <main className={styles.staff} data-screen="visits">
      <h1>Visits</h1>
      {notices.map((notice) => (
        <p key={notice} className={styles.caution}>
          {notice}
        </p>
      ))}
      {visits.length === 0 && <p>No visit is stored on this device.</p>}
      <table className={styles.table}>
        <tbody>
          {visits.map((visit) => (
            <tr key={visit.visit}>
              <td>
                {new Date(visit.startedAt).toLocaleString('en', { dateStyle: 'medium', timeStyle: 'short' })}
              </td>
              <td>{visit.practice && 'practice'}</td>
              <td>{visit.finished ?? 'not finished'}</td>
              <td>
                <button type="button" onClick={() => onOpen(visit.visit)}>
                  Open
                </button>{' '}
                {!visit.finished && (
                  <button type="button" onClick={() => onGoOn(visit.visit)}>
                    Go on with it
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <div className={styles.buttons}>
        <button type="button" onClick={onRecordings}>
          Recorded sentences
        </button>
        <button type="button" onClick={onBack}>
          Back
        </button>
      </div>
    </main>
  );
}
