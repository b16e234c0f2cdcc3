import { useEffect, useRef } from 'react';
import type { FiledNote } from '../../fhir/filed';
import { nameOf } from '../shared/language';
import { Problem } from './Problem';
import styles from './Staff.module.css';

/** http://hl7.org/fhir/R4/valueset-composition-status.html and -document-reference-status.html */
const standings: Record<string, string> = {
  preliminary: 'not signed yet',
  final: 'signed',
  amended: 'signed, changed since',
  superseded: 'replaced',
  'entered-in-error': 'entered in error',
};

const time = (at: string) => new Date(at).toLocaleString('en', { dateStyle: 'medium', timeStyle: 'short' });
const patientOf = ({ patient, number }: FiledNote) => patient || number || 'name not given';

/** A server may write what is no tag of a language. */
function languageOf(tag: string): string {
  try {
    return nameOf(tag);
  } catch {
    return tag;
  }
}

/** How far it counts, in words; what is not known to us as the server says it. */
function Standing({ note: { docStatus, status } }: { note: FiledNote }) {
  const counts = status === 'current' || status === '';
  const word = counts ? docStatus : status;
  const signed = counts && (docStatus === 'final' || docStatus === 'amended');
  return (
    <span className={signed ? styles.learned : styles.caption}>
      {standings[word] ?? (word || 'the server does not say')}
    </span>
  );
}

export function NoteList({
  notes,
  done,
  unreadable,
  last = '',
  busy = false,
  problem = '',
  said = '',
  onMore,
  onRead,
  onBack,
  onClose,
}: {
  notes: FiledNote[];
  /** There are no older ones. */
  done: boolean;
  unreadable: number;
  /** Id of the note that was read last. */
  last?: string;
  busy?: boolean;
  problem?: string;
  said?: string;
  onMore: () => void;
  onRead: (note: FiledNote) => void;
  onBack: () => void;
  onClose: () => void;
}) {
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
                <td>
                  {patientOf(note)}
                  {note.patient && note.number && (
                    <>
                      <br />
                      <span className={styles.caption}>{note.number}</span>
                    </>
                  )}
                </td>
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
                    onClick={() => onRead(note)}
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
          <button type="button" disabled={busy} onClick={onMore}>
            {problem ? 'Try again' : 'Older notes'}
          </button>
        </div>
      )}
    </main>
  );
}

export function NoteView({
  note,
  onBack,
  onClose,
}: {
  note: FiledNote;
  onBack: () => void;
  onClose: () => void;
}) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const { number, at, kiosk, title, language, text } = note;
  const about = [number && `Record number ${number}`, time(at), kiosk && `kiosk ${kiosk}`];
  return (
    <main className={styles.staff} data-screen="on-server-note">
      <h1 ref={heading} tabIndex={-1}>
        {patientOf(note)}
      </h1>
      <p className={styles.caption}>{about.filter(Boolean).join(' · ')}</p>
      <p>
        This note is: <Standing note={note} />.
      </p>
      <div className={styles.buttons}>
        <button type="button" onClick={onBack}>
          Back to the list
        </button>
        <button type="button" onClick={onClose}>
          Close the records
        </button>
      </div>
      <h2>{title || 'Note'}</h2>
      {language && language !== 'en' && (
        <p className={styles.caption}>The visit was held in this language: {languageOf(language)}.</p>
      )}
      {text === null ? (
        <p className={styles.caution}>
          The server keeps the text of this note somewhere else. Open it in the chart.
        </p>
      ) : (
        <pre className={styles.note}>{text}</pre>
      )}
    </main>
  );
}
