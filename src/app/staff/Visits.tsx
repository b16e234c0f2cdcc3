import type { OutboxView } from '../../fhir/outbox';
import type { Persistence, VisitHeader } from '../../records/types';
import type { ShownFollowUp } from '../desks/followOn';
import type { OfflineState } from '../offline/keep';
import type { RetentionView } from '../retention';
import type { Sealing } from '../state';
import { KeptFor } from './KeptFor';
import styles from './Staff.module.css';
import { Version } from './Version';
import { type Place, VisitTable } from './VisitTable';

/** The visits on this device, newest first. Names stay in the record. */
export function Visits({
  visits,
  outbox,
  keeping,
  offline,
  persistence,
  notices,
  keptAside,
  sealing,
  place,
  followUps,
  onOpen,
  onFileNow,
  onGoOn,
  onNext,
  onWard,
  onRecordings,
  onKeep,
  onClock,
  onFirstRun,
  onSetUp,
  onPeople,
  onServer,
  onFollow,
  onClose,
  onBack,
}: {
  visits: VisitHeader[];
  /** null: this site files no visits in a record. */
  outbox: OutboxView | null;
  /** null: visits are kept until staff erase them. */
  keeping: RetentionView | null;
  /** The copy for work without a server; null: none is kept here. */
  offline: OfflineState | null;
  persistence?: Persistence | undefined;
  notices: string[];
  /** So many entries could not be read. */
  keptAside: number;
  /** Whether what is stored is sealed, and who has opened it. */
  sealing: Sealing;
  /** Where in the list staff were. */
  place: Place | undefined;
  /** What is to come after visits; null: not known yet. */
  followUps: Map<string, ShownFollowUp> | null;
  onOpen: (visit: string) => void;
  onGoOn: (visit: string) => void;
  onNext: (visit: string) => void;
  onFileNow: () => void;
  onWard: () => void;
  onRecordings: () => void;
  onKeep: () => void;
  onClock: () => void;
  onFirstRun: () => void;
  onSetUp: () => void;
  onPeople: () => void;
  /** Shows what all kiosks have filed; null: nothing is filed from here. */
  onServer: (() => void) | null;
  /** Opens a window that shows what the learner sees. */
  onFollow: () => void;
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
      {keptAside > 0 && <p className={styles.caution}>{aside(keptAside)}</p>}
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
          {onServer && (
            <p className={styles.caption}>
              What all kiosks have filed on the server can be read here once there is a staff secret.
            </p>
          )}
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
            {onServer && (
              <button type="button" onClick={onServer}>
                On the server
              </button>
            )}
          </div>
        </>
      )}
      {persistence && !persistence.kept && (
        <p className={sealing.state === 'memory' ? styles.caution : styles.caption}>{persistence.sentence}</p>
      )}
      {outbox && <Filing outbox={outbox} onFileNow={onFileNow} />}
      {keeping && <KeptFor view={keeping} onClock={onClock} />}
      {visits.length === 0 && <p>No visit is stored on this device.</p>}
      <p className={styles.due} aria-live="polite">
        {due(followUps)}
      </p>
      <VisitTable
        visits={visits}
        outbox={outbox}
        place={place}
        followUps={followUps}
        onOpen={onOpen}
        onGoOn={onGoOn}
        onNext={onNext}
      />
      <div className={styles.buttons}>
        <button type="button" onClick={onWard}>
          Ward
        </button>
        <button type="button" onClick={onRecordings}>
          Recorded sentences
        </button>
        <button type="button" onClick={onFollow}>
          Open a following window
        </button>
        <button type="button" onClick={onKeep}>
          Backup and restore
        </button>
        <button type="button" onClick={onFirstRun}>
          Set up this kiosk
        </button>
        <button type="button" onClick={onBack}>
          Back
        </button>
      </div>
      {offline && <Version offline={offline} />}
    </main>
  );
}

const aside = (count: number): string => {
  const [what, them] =
    count === 1
      ? ['1 stored entry could not be read and is set aside.', 'it']
      : [`${count} stored entries could not be read and are set aside.`, 'them'];
  return `${what} The note of a visit says where something is missing. Tell your administrator. A backup includes ${them}.`;
};

/** How many visits wait for a re-check that is due; nothing when none does. */
function due(followUps: Map<string, ShownFollowUp> | null): string {
  const count = [...(followUps?.values() ?? [])].filter(({ recheck }) => recheck?.due).length;
  if (count === 0) return '';
  return count === 1 ? 'A re-check is due after 1 visit.' : `A re-check is due after ${count} visits.`;
}

/** What waits to be filed, what holds it up, and what to do. */
function Filing({ outbox, onFileNow }: { outbox: OutboxView; onFileNow: () => void }) {
  const { waiting, held, sealed, problem } = outbox;
  const counts = [
    ...(waiting > 0 ? [`${waiting} waiting`] : []),
    ...(sealed > 0 ? [`${sealed} of them sealed until staff open the records`] : []),
    ...(held > 0 ? [`${held} held until somebody of the staff acts`] : []),
  ];
  return (
    <section aria-label="Filing in the record">
      <p role="status">
        Filing in the record: {counts.length > 0 ? `${counts.join(', ')}.` : 'nothing is waiting.'}
      </p>
      {problem && <p className={styles.caution}>{problem}</p>}
      {counts.length > 0 && (
        <div className={styles.buttons}>
          <button type="button" onClick={onFileNow}>
            Try again
          </button>
        </div>
      )}
    </section>
  );
}
