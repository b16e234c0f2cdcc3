import { useCallback, useEffect, useState } from 'react';
import { auditBundle } from '../../fhir/audit';
import type { Person } from '../../records/seal/people';
import type { Deed } from '../../records/seal/trail';
import type { Room } from '../desks/staffRoom';
import { downloadJson } from '../shared/download';
import { Code } from './Code';
import { FormPanel } from './FormPanel';
import { Problem } from './Problem';
import { Secret } from './Secret';
import { secretHint } from './SetUp';
import styles from './Staff.module.css';
import { useAsked } from './useAsked';

const deedNames: Record<Deed['what'], string> = {
  'set-up': 'sealed the records',
  opened: 'opened the records',
  'emergency-opened': 'opened with the code from the envelope',
  failed: 'could not open',
  locked: 'could not open: locked',
  closed: 'closed the records',
  read: 'read a visit',
  'went-on': 'went on with a visit',
  printed: 'printed a handout',
  copied: 'copied a note',
  exported: 'saved a visit as a file',
  'decided-otherwise': 'decided about a point',
  answered: 'answered a question',
  'seen-later': 'ticked what the hands showed',
  signed: 'signed a visit',
  'filed-by-hand': 'put a visit into the chart by hand',
  'staff-added': 'added an id',
  'staff-removed': 'removed an id',
  'staff-let-in': 'let a locked id in',
  'secret-changed': 'changed the own secret',
  'code-renewed': 'renewed the code for the envelope',
  'key-exchanged': 'exchanged the key of the ward',
  'trail-exported': 'saved this list as a file',
  'server-listed': 'listed what is on the record server',
  'server-read': 'read a note on the record server',
  'ward-read': 'looked at the ward view',
  'ward-saved': 'saved figures of the ward as a file',
  'sample-loaded': 'loaded an invented ward',
  'sample-erased': 'erased the invented ward',
  'patient-confirmed': 'said that a visit is that of the patient found',
  'patient-refused': 'said that a record number is not that of the patient',
  'backed-up': 'saved all visits as a backup',
  restored: 'restored a backup',
  erased: 'erased a visit',
  expired: 'erased a visit whose time was over',
  'clock-confirmed': 'said that the clock of the device is right',
};

/** Who are none of the staff. */
const doers = new Map([
  ['!', 'envelope'],
  ['?', 'unknown id'],
  ['', 'the kiosk itself'],
]);

/** Shown at once; a file holds all. */
const most = 200;

type Trail = Awaited<ReturnType<Room['trail']>>;

const time = (at: string) => new Date(at).toLocaleString('en', { dateStyle: 'medium', timeStyle: 'medium' });

const fileName = (what: string) => `ownwords-${what}-${new Date().toISOString().slice(0, 10)}.json`;

const save = ({ entries, broken }: Trail) =>
  downloadJson(fileName('trail'), {
    format: 'ownwords-trail',
    version: 1,
    broken,
    entries,
  });

const saveEvents = (trail: Trail, kiosk: string) =>
  downloadJson(
    fileName('audit-events'),
    auditBundle(trail, { kiosk, names: deedNames, now: new Date() }),
    'application/fhir+json',
  );

/** Who may open the records, and who did what with them. */
export function People({
  room,
  me,
  kiosk,
  onBack,
  onClose,
}: {
  room: Room;
  /** Id of whoever has opened. */
  me: string;
  /** Which kiosk this is, for the file. */
  kiosk: string;
  onBack: () => void;
  onClose: () => void;
}) {
  const [people, setPeople] = useState<Person[]>([]);
  const [trail, setTrail] = useState<Trail>({ entries: [], broken: null });
  const [code, setCode] = useState('');
  const { busy, problem, done, ask, onSubmit } = useAsked();
  const read = useCallback(async () => {
    setPeople(await room.people());
    setTrail(await room.trail());
  }, [room]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when the screen opens
  useEffect(() => void ask(read), [read]);
  const change = (work: () => Promise<unknown>) =>
    ask(async () => {
      const said = await work();
      await read();
      return said;
    });
  /** With its own entry in it. */
  const saveAs = (write: (whole: Trail) => void) => () =>
    change(async () => {
      await room.note('trail-exported');
      write(await room.trail());
    });
  if (code)
    return (
      <Code
        code={code}
        onDone={() => {
          setCode('');
          void ask(read);
        }}
      />
    );
  return (
    <main className={styles.staff} data-screen="people">
      <h1>Staff and trail</h1>
      <div className={styles.buttons}>
        <button type="button" disabled={busy} onClick={onBack}>
          Back
        </button>
        <button type="button" disabled={busy} onClick={onClose}>
          Close the records
        </button>
      </div>
      <Problem text={problem} />
      <p role="status">{done}</p>
      <h2>Who may open</h2>
      <table className={styles.table}>
        <thead>
          <tr>
            <th>Id</th>
            <th>Name</th>
            <th>State</th>
            <th>Change</th>
          </tr>
        </thead>
        <tbody>
          {people.map(({ id, name, locked, unreadable }) => (
            <tr key={id}>
              <td>{doers.get(id) ?? id}</td>
              <td>{name}</td>
              <td className={unreadable ? styles.needsPerson : undefined}>
                {unreadable ?? (locked ? 'locked after too many tries' : id === me ? 'you' : 'may open')}
              </td>
              <td>
                {locked && (
                  <button
                    type="button"
                    disabled={busy}
                    aria-label={`Let in again: ${id}`}
                    onClick={() => change(() => room.letIn(id))}
                  >
                    Let in again
                  </button>
                )}{' '}
                {id !== me && !doers.has(id) && (
                  <button
                    type="button"
                    disabled={busy}
                    aria-label={`Remove: ${id}`}
                    onClick={() => change(() => room.remove(id))}
                  >
                    Remove
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <div className={styles.form}>
        <FormPanel
          legend="Add an id"
          submit="Add"
          busy={busy}
          onSubmit={onSubmit(async (word) => {
            await room.add(word('mine'), { id: word('id'), name: word('name'), secret: word('secret') });
            await read();
            return 'The id was added.';
          })}
        >
          <label className={styles.field}>
            Name
            <input name="name" required maxLength={80} autoComplete="off" />
          </label>
          <label className={styles.field}>
            Short id
            <input name="id" required maxLength={32} autoComplete="off" autoCapitalize="off" />
          </label>
          <Secret label="Their secret, typed by them" name="secret" hint={secretHint} />
          <Secret label="Your own secret" name="mine" />
        </FormPanel>
        <FormPanel
          legend="Change your secret"
          submit="Change"
          busy={busy}
          onSubmit={onSubmit(async (word) => {
            await room.changeSecret(word('old'), word('fresh'));
            await read();
            return 'Your secret was changed.';
          })}
        >
          <Secret label="The present one" name="old" />
          <Secret label="The new one" name="fresh" hint={secretHint} />
        </FormPanel>
        <FormPanel
          legend="Renew the code in the envelope"
          submit="Renew"
          busy={busy}
          onSubmit={onSubmit(async (word) => {
            setCode(await room.renewCode(word('own')));
          })}
        >
          <p className={styles.caption}>After it was used, or when the envelope is lost.</p>
          <Secret label="Your secret (or the present code)" name="own" />
        </FormPanel>
        <FormPanel
          legend="Exchange the key of the ward"
          submit="Exchange"
          busy={busy}
          onSubmit={onSubmit(async (word) => {
            setCode(await room.exchangeKey(word('own')));
          })}
        >
          <p className={styles.caption}>
            When somebody whose id was removed may have a copy of this device. All ids but yours go and have
            to be added anew; there is a new code for the envelope. No visit is lost.
          </p>
          <Secret label="Your own secret, to exchange it" name="own" />
        </FormPanel>
      </div>
      <h2>Trail</h2>
      <p className={trail.broken ? styles.caution : styles.caption}>
        {trail.broken
          ? `This list was changed or cannot be read: ${trail.broken}. Tell your administrator.`
          : `${trail.entries.length} entries; none was changed or is missing.`}
      </p>
      <div className={styles.buttons}>
        <button type="button" disabled={busy} onClick={saveAs(save)}>
          Save as a file
        </button>
        <button type="button" disabled={busy} onClick={saveAs((whole) => saveEvents(whole, kiosk))}>
          Save as FHIR AuditEvents
        </button>
      </div>
      <table className={styles.table}>
        <thead>
          <tr>
            <th>When</th>
            <th>Who</th>
            <th>What</th>
            <th>Visit</th>
          </tr>
        </thead>
        <tbody>
          {trail.entries
            .slice(-most)
            .reverse()
            .map(({ seq, at, who, what, visit, detail }) => (
              <tr key={seq}>
                <td>{time(at)}</td>
                <td>{doers.get(who) ?? who}</td>
                <td>
                  {deedNames[what]}
                  {detail && ` (${detail})`}
                </td>
                <td>{visit?.slice(0, 8)}</td>
              </tr>
            ))}
        </tbody>
      </table>
    </main>
  );
}
