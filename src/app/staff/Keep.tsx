import { useState } from 'react';
import type { Restored } from '../../records/backup/plan';
import type { Backups, FileSeen } from '../desks/keeping';
import { shortTime } from '../shared/dates';
import { download } from '../shared/download';
import { FormPanel } from './FormPanel';
import { Problem } from './Problem';
import { Secret } from './Secret';
import styles from './Staff.module.css';
import { useAsked } from './useAsked';

/** All visits as one sealed file, and back from one. */
export function Keep({
  backups,
  sealed,
  keepDays,
  onSetUp,
  onBack,
}: {
  backups: Backups;
  /** Is there a key of the ward? Without one there is nothing to seal a file with. */
  sealed: boolean;
  /** Days after which finished visits are erased here; left out: never. */
  keepDays?: number | undefined;
  onSetUp: () => void;
  onBack: () => void;
}) {
  return (
    <main className={styles.staff} data-screen="keep">
      <h1>Backup and restore</h1>
      <div className={styles.buttons}>
        <button type="button" onClick={onBack}>
          Back
        </button>
      </div>
      <div className={styles.form}>
        {sealed ? <Save backups={backups} /> : <NotYet onSetUp={onSetUp} />}
        <Restore backups={backups} sealed={sealed} keepDays={keepDays} />
      </div>
    </main>
  );
}

function NotYet({ onSetUp }: { onSetUp: () => void }) {
  return (
    <fieldset>
      <legend>Save a backup</legend>
      <p>A backup is sealed with a staff secret, and none is set yet.</p>
      <div className={styles.buttons}>
        <button type="button" onClick={onSetUp}>
          Set a staff secret
        </button>
      </div>
    </fieldset>
  );
}

function Save({ backups }: { backups: Backups }) {
  const { busy, problem, done, onSubmit } = useAsked();
  const [share, setShare] = useState(0);
  return (
    <FormPanel
      legend="Save a backup"
      submit="Save all visits"
      busy={busy}
      onSubmit={onSubmit(async (word) => {
        setShare(0);
        const { file, visits } = await backups.save(word('own'), setShare);
        download(`backup-${new Date().toISOString().slice(0, 10)}.ownwords`, file);
        return `${count(visits, 'visit')} saved with the downloads of this browser (${megabytes(file.size)}). Put the file where the ward keeps its backups.`;
      })}
    >
      <p className={styles.caption}>
        One file with all visits, recorded sentences, ids and the trail. It opens with the secret of somebody
        of the staff or the code from the envelope, and with nothing else.
      </p>
      <Secret label="Your secret" name="own" hint="Or the code, if it opened the records." />
      <Problem text={problem} />
      <p role="status">{busy ? `Saving … ${percent(share)}` : done}</p>
    </FormPanel>
  );
}

function Restore({
  backups,
  sealed,
  keepDays,
}: {
  backups: Backups;
  sealed: boolean;
  keepDays: number | undefined;
}) {
  const { busy, problem, done, ask, onSubmit } = useAsked();
  const [share, setShare] = useState(0);
  const [seen, setSeen] = useState<FileSeen | null>(null);
  const [who, setWho] = useState('');
  const look = (file: File | undefined) =>
    ask(async () => {
      setSeen(null);
      setShare(0);
      if (!file) return;
      const found = await backups.look(file, setShare);
      setSeen(found);
      setWho(found.ids[0] ?? '!');
    });
  return (
    <FormPanel
      legend="Restore a backup"
      submit="Restore"
      busy={busy || !seen}
      onSubmit={onSubmit(async (word) => {
        if (!seen) return;
        setShare(0);
        const reason = `${word('name').trim()}: ${word('reason').trim()}`;
        const restored = await backups.restore(
          seen,
          { id: who, secret: word('theirs'), ...(who === '!' ? { reason } : {}) },
          setShare,
        );
        setSeen(null);
        return whatItDid(restored);
      })}
    >
      <p className={styles.caption}>
        Adds what is missing here. Nothing that is here is written over or lost.
        {keepDays && ` Visits that ended more than ${keepDays} days ago are erased again soon after.`}
      </p>
      <label className={styles.field}>
        File
        <input
          type="file"
          accept=".ownwords"
          disabled={busy}
          onChange={({ target }) => void look(target.files?.[0])}
        />
      </label>
      {seen && (
        <>
          <p>
            Saved {shortTime(seen.checked.head.at)} ({megabytes(seen.checked.file.size)}); it is whole.{' '}
            {whatWillBe(seen, sealed)}
          </p>
          <label className={styles.field}>
            Opened by
            <select value={who} onChange={({ target }) => setWho(target.value)}>
              {seen.ids.map((id) => (
                <option key={id} value={id}>
                  {id}
                </option>
              ))}
              {seen.code && <option value="!">the code from the envelope</option>}
            </select>
          </label>
          {who === '!' && (
            <>
              <label className={styles.field}>
                Your name
                <input name="name" required maxLength={80} autoComplete="off" />
              </label>
              <label className={styles.field}>
                Why with the code
                <input name="reason" required maxLength={400} autoComplete="off" />
              </label>
            </>
          )}
          <Secret
            label={who === '!' ? 'Code of the file' : 'Their secret'}
            name="theirs"
            hint="As it was when the file was saved."
          />
        </>
      )}
      <Problem text={problem} />
      <p role="status">{busy ? (share < 0.999 ? `Reading … ${percent(share)}` : 'Storing …') : done}</p>
    </FormPanel>
  );
}

const count = (n: number, one: string) => `${n.toLocaleString('en')} ${one}${n === 1 ? '' : 's'}`;
const percent = (share: number) => `${Math.round(share * 100)}\u00a0%`;
const megabytes = (size: number) =>
  `${Math.max(0.1, size / 1e6).toLocaleString('en', { maximumFractionDigits: 1 })} MB`;

function whatWillBe({ sameWard }: FileSeen, sealed: boolean): string {
  if (!sealed)
    return 'This kiosk has no staff secret yet: it takes over the ids and the key of the file, and what is stored here is sealed with it.';
  return sameWard
    ? 'It is from this ward.'
    : 'It is from another ward: its visits are sealed anew with the key here, and its ids open nothing here.';
}

function whatItDid({ added, longer, same, differ, clips }: Restored): string {
  const parts = [
    `${count(added, 'visit')} added`,
    longer > 0 && `${count(longer, 'visit')} gone on with`,
    same > 0 && `${count(same, 'visit')} here already`,
    clips > 0 && `${count(clips, 'recorded sentence')} added`,
  ].filter((part) => part !== false);
  const told = `Restored: ${parts.join(', ')}.`;
  return differ > 0
    ? `${told} ${count(differ, 'visit')} went on in another way in the file: here nothing was changed, and what the file has was set aside.`
    : told;
}
