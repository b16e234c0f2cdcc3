import type { VisitHeader } from '../../records/types';
import type { Sealing } from '../kiosk';
import styles from './Staff.module.css';

/** The visits on this device, newest first. Names stay in the record. */
export function Visits({
  visits,
  notices,
  sealing,
  onOpen,
  onGoOn,
  onRecordings,
  onSetUp,
  onPeople,
  onClose,
  onBack,
}: {
  visits: VisitHeader[];
  notices: string[];
  /** Whether what is stored is sealed, and who has opened it. */
  sealing: Sealing;
  onOpen: (visit: string) => void;
  onGoOn: (visit: string) => void;
  onRecordings: () => void;
  onSetUp: () => void;
  onPeople: () => void;
  onClose: () => void;
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
      {sealing.state === 'open' && (
        <>
          <p className={styles.caution}>
            These records are not sealed: whoever takes this device away can read them. They are sealed once a
            staff secret is set, which takes two minutes.
          </p>
          <div className={styles.buttons}>
            <button type="button" onClick={onSetUp}>
              Set a staff secret
            </button>
          </div>
        </>
      )}
      {sealing.state === 'sealed' && (
        <>
          <p className={styles.caption}>Sealed; opened by {sealing.by}.</p>
          <div className={styles.buttons}>
            <button type="button" onClick={onClose}>
              Close the records
            </button>
            <button type="button" onClick={onPeople}>
              Staff and trail
            </button>
          </div>
        </>
      )}
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
