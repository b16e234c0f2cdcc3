import { limits, type Room } from '../staffRoom';
import { Secret } from './Secret';
import styles from './Staff.module.css';
import { useAsked } from './useAsked';

const minutes = (ms: number) => ms / 60_000;

/** Before anything of a visit that has ended is shown. */
export function OpenRecords({
  room,
  onOpened,
  onBack,
}: {
  room: Pick<Room, 'open' | 'openInEmergency'>;
  onOpened: () => void;
  onBack: () => void;
}) {
  const byId = useAsked();
  const byCode = useAsked();
  return (
    <main className={styles.staff} data-screen="open-records">
      <h1>Open the records</h1>
      <p className={styles.caption}>
        What was said and who said it is sealed on this device. It closes by itself after{' '}
        {minutes(limits.idle)} minutes without a touch or a key, after {minutes(limits.most)} minutes in any
        case, and when a visit begins.
      </p>
      <div className={styles.form}>
        <form
          onSubmit={byId.onSubmit(async (word) => {
            await room.open(word('id'), word('secret'));
            onOpened();
          })}
        >
          <fieldset>
            <legend>With your own secret</legend>
            <label className={styles.field}>
              Your staff id
              <input name="id" required maxLength={32} autoComplete="off" autoCapitalize="off" />
            </label>
            <Secret label="Your secret" name="secret" />
            {byId.problem && (
              <p className={styles.problem} role="alert">
                {byId.problem}
              </p>
            )}
            <div className={styles.buttons}>
              <button type="submit" className={styles.go} disabled={byId.busy}>
                Open
              </button>
              <button type="button" onClick={onBack}>
                Back
              </button>
            </div>
          </fieldset>
        </form>
        <form
          onSubmit={byCode.onSubmit(async (word) => {
            await room.openInEmergency(word('name'), word('reason'), word('code'));
            onOpened();
          })}
        >
          <fieldset>
            <legend>In an emergency</legend>
            <p className={styles.caption}>
              With the code from the envelope, when nobody with an id can come. It is written into the trail.
            </p>
            <label className={styles.field}>
              Your name
              <input name="name" required maxLength={80} autoComplete="off" />
            </label>
            <label className={styles.field}>
              Why it has to be now
              <input name="reason" required maxLength={400} autoComplete="off" />
            </label>
            <Secret label="Code from the envelope" name="code" />
            {byCode.problem && (
              <p className={styles.problem} role="alert">
                {byCode.problem}
              </p>
            )}
            <div className={styles.buttons}>
              <button type="submit" disabled={byCode.busy}>
                Open with the code
              </button>
            </div>
          </fieldset>
        </form>
      </div>
    </main>
  );
}
