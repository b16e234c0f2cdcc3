import type { RetentionView } from '../retention';
import { shortTime } from '../shared/dates';
import styles from './Staff.module.css';

const visits = (count: number) => (count === 1 ? '1 visit' : `${count} visits`);
const stays = (count: number) => (count === 1 ? 'stays' : 'stay');

/** How long visits are kept here, and what holds that up. */
export function KeptFor({ view, onClock }: { view: RetentionView; onClock: () => void }) {
  const { keepDays, waiting, misdated, clock } = view;
  const now = shortTime(new Date().toISOString());
  return (
    <section aria-label="How long visits are kept">
      <p className={styles.caption}>
        Finished visits are erased {keepDays === 1 ? 'a day' : `${keepDays} days`} after their last entry.
      </p>
      {waiting > 0 && (
        <p className={styles.caution}>
          {visits(waiting)} whose time is over {stays(waiting)} until filed in the record.
        </p>
      )}
      {misdated > 0 && (
        <p className={styles.caution}>
          {visits(misdated)} ended while the clock of this device was wrong, and {stays(misdated)} until you
          erase {misdated === 1 ? 'it' : 'them'}.
        </p>
      )}
      {clock !== 'right' && (
        <>
          <p className={styles.caution}>
            {clock === 'behind'
              ? `The clock of this device says ${now}, but something here is dated later. Nothing is erased until it is set right, or you say that it is right.`
              : `The clock of this device says ${now}, long after anything else that happened here. Nothing is erased until it has run evenly for a day, or you say that it is right.`}
          </p>
          <div className={styles.buttons}>
            <button type="button" onClick={onClock}>
              The clock is right
            </button>
          </div>
        </>
      )}
    </section>
  );
}
