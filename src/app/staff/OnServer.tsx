import { useEffect, useRef, useState } from 'react';
import type { FiledNote, FiledPage } from '../../fhir/filed';
import { nameOf } from '../shared/language';
import { Problem } from './Problem';
import styles from './Staff.module.css';
import { useAsked } from './useAsked';

/** http://hl7.org/fhir/R4/valueset-composition-status.html */
const standings: Record<string, string> = {
  preliminary: 'not signed yet',
  final: 'signed',
  amended: 'signed, changed since',
  'entered-in-error': 'entered in error',
};

const time = (at: string) => new Date(at).toLocaleString('en', { dateStyle: 'medium', timeStyle: 'short' });

/** How far it counts, in words; what is not known to us as the server says it. */
function standing({ docStatus, status }: FiledNote): string {
  const word = (one: string) => standings[one] ?? one;
  if (status && status !== 'current') return status === 'superseded' ? 'replaced' : word(status);
  return docStatus ? word(docStatus) : 'the server does not say';
}

const patientOf = ({ patient, number }: FiledNote) => patient || number || 'name not given';

/** What all kiosks of the house have filed with the record server, to be read and not changed. */
export function OnServer({
  more,
  onRead,
  onBack,
  onClose,
}: {
  /** The next page of notes, newest first. Rejects with a sentence. */
  more: () => Promise<FiledPage>;
  /** Resolves when it is noted who reads it; rejects with a sentence, and then it is not shown. */
  onRead: (visit: string) => Promise<void>;
  onBack: () => void;
  onClose: () => void;
}) {
  const [notes, setNotes] = useState<FiledNote[]>([]);
  const [done, setDone] = useState(false);
  const [unreadable, setUnreadable] = useState(0);
  const [open, setOpen] = useState<FiledNote | null>(null);
  /** The note that was read last: the focus comes back to it. */
  const [last, setLast] = useState('');
  const { busy, problem, done: said, ask } = useAsked();
  const heading = useRef<HTMLHeadingElement>(null);
  const fetchMore = () =>
    ask(async () => {
      const page = await more();
      setNotes((before) => [...before, ...page.notes]);
      setUnreadable((before) => before + page.unreadable);
      setDone(page.done);
      return page.done ? 'There are no older notes.' : `${page.notes.length} more.`;
    });
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when the screen opens
  useEffect(() => void fetchMore(), []);
  useEffect(() => {
    if (open) heading.current?.focus();
  }, [open]);

  const read = (note: FiledNote) =>
    ask(async () => {
      await onRead(note.visit);
      setOpen(note);
    });

  if (open)
    return (
      <main className={styles.staff} data-screen="on-server-note">
        <h1 ref={heading} tabIndex={-1}>
          {patientOf(open)}
        </h1>
        <p className={styles.caption}>
          {[open.number && `Record number ${open.number}`, time(open.at), open.kiosk && `kiosk ${open.kiosk}`]
            .filter(Boolean)
            .join(' · ')}
        </p>
        <p>
          <Standing note={open} />
        </p>
        <div className={styles.buttons}>
          <button
            type="button"
            onClick={() => {
              setLast(open.id);
              setOpen(null);
            }}
          >
            Back to the list
          </button>
          <button type="button" onClick={onClose}>
            Close the records
          </button>
        </div>
        <h2>{open.title || 'Note'}</h2>
        {open.language && open.language !== 'en' && (
          <p className={styles.caption}>The visit was held in this language: {nameOf(open.language)}.</p>
        )}
        {open.text === null ? (
          <p className={styles.caution}>
            The server keeps the text of this note somewhere else. Open it in the chart.
          </p>
        ) : (
          <pre className={styles.note}>{open.text}</pre>
        )}
      </main>
    );

  return (
    <main className={styles.staff} data-screen="on-server">
      <h1>On the server</h1>
      <p className={styles.caption}>
        The notes that all kiosks have filed, newest first. They can be read here, not changed.
      </p>
      <div className={styles.buttons}>
        <button type="button" onClick={onBack}>
          Back
        </button>
        <button type="button" onClick={onClose}>
          Close the records
        </button>
      </div>
      {unreadable > 0 && (
        <p className={styles.caution}>
          {unreadable === 1 ? '1 entry' : `${unreadable} entries`} on the server could not be read and{' '}
          {unreadable === 1 ? 'is' : 'are'} not shown.
        </p>
      )}
      {done && notes.length === 0 && <p>No note of a kiosk is on the server.</p>}
      {notes.length > 0 && (
        <table className={styles.table}>
          <thead>
            <tr>
              <th>Time</th>
              <th>Patient</th>
              <th>Kiosk</th>
              <th>State</th>
              <th>Note</th>
            </tr>
          </thead>
          <tbody>
            {notes.map((note) => (
              <tr key={note.id}>
                <td>{time(note.at)}</td>
                <td>{patientOf(note)}</td>
                <td>{note.kiosk || 'not given'}</td>
                <td>
                  <Standing note={note} />
                </td>
                <td>
                  <button
                    type="button"
                    disabled={busy}
                    // biome-ignore lint/a11y/noAutofocus: back where the note was opened
                    autoFocus={note.id === last}
                    aria-label={`Read: ${patientOf(note)}, ${time(note.at)}`}
                    onClick={() => read(note)}
                  >
                    Read
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <Problem text={problem} />
      <p role="status">{busy ? 'Asking the server …' : said}</p>
      {!done && (
        <div className={styles.buttons}>
          <button type="button" disabled={busy} onClick={fetchMore}>
            {problem ? 'Try again' : 'Older notes'}
          </button>
        </div>
      )}
    </main>
  );
}

function Standing({ note }: { note: FiledNote }) {
  const signed = note.status === 'current' && (note.docStatus === 'final' || note.docStatus === 'amended');
  return <span className={signed ? styles.learned : styles.caption}>{standing(note)}</span>;
}
