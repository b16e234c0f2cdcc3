import { useState } from 'react';
import { shortest } from '../../records/seal/secret-rules';
import type { Room } from '../desks/staffRoom';
import { Code } from './Code';
import { Problem } from './Problem';
import { Secret } from './Secret';
import styles from './Staff.module.css';
import { useAsked } from './useAsked';

export const secretHint = `At least ${shortest} characters: four or five words that have nothing to do with each other.`;

/** The first secret, by which the records of this device are sealed from then on. */
export function SetUp({
  room,
  onDone,
  onBack,
}: {
  room: Pick<Room, 'setUp'>;
  onDone: () => void;
  onBack: () => void;
}) {
  const [code, setCode] = useState('');
  const { busy, problem, onSubmit } = useAsked();
  if (code) return <Code code={code} onDone={onDone} />;
  return (
    <main className={styles.staff} data-screen="set-up">
      <h1>Seal the records</h1>
      <p>
        From now on what is stored here can be read only after somebody of the staff has opened it. Visits go
        on as before, without a secret. What is stored already is sealed as well, but the browser keeps
        unsealed remains of it for a while: if visits were held here before, ask your administrator to clear
        the browser's data once they are in the chart.
      </p>
      <form
        className={styles.form}
        onSubmit={onSubmit(async (word) => {
          if (word('secret') !== word('again')) throw new Error('The two secrets are not the same.');
          setCode(await room.setUp({ id: word('id'), name: word('name'), secret: word('secret') }));
        })}
      >
        <fieldset>
          <legend>You</legend>
          <label className={styles.field}>
            Your name
            <input name="name" required maxLength={80} autoComplete="off" />
          </label>
          <label className={styles.field}>
            A short id for you (small letters and digits)
            <input name="id" required maxLength={32} autoComplete="off" autoCapitalize="off" />
          </label>
        </fieldset>
        <fieldset>
          <legend>Your secret</legend>
          <Secret label="Secret" name="secret" hint={secretHint} />
          <Secret label="The same again" name="again" />
        </fieldset>
        <Problem text={problem} />
        <div className={styles.buttons}>
          <button type="submit" className={styles.go} disabled={busy}>
            Seal the records
          </button>
          <button type="button" disabled={busy} onClick={onBack}>
            Back
          </button>
          <span role="status">{busy && 'Sealing …'}</span>
        </div>
      </form>
    </main>
  );
}
