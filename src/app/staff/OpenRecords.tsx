import { limits, type Room } from '../desks/staffRoom';
import { FormPanel } from './FormPanel';
import { Problem } from './Problem';
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
        <FormPanel
          legend="With your own secret"
          submit="Open"
          busy={byId.busy}
          main
          onSubmit={byId.onSubmit(async (word) => {
            await room.open(word('id'), word('secret'));
            onOpened();
          })}
          beside={
            <button type="button" onClick={onBack}>
              Back
            </button>
          }
        >
          <label className={styles.field}>
            Your staff id
            <input name="id" required maxLength={32} autoComplete="off" autoCapitalize="off" />
          </label>
          <Secret label="Your secret" name="secret" />
          <Problem text={byId.problem} />
        </FormPanel>
        <FormPanel
          legend="In an emergency"
          submit="Open with the code"
          busy={byCode.busy}
          onSubmit={byCode.onSubmit(async (word) => {
            await room.openInEmergency(word('name'), word('reason'), word('code'));
            onOpened();
          })}
        >
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
          <Problem text={byCode.problem} />
        </FormPanel>
      </div>
    </main>
  );
}
