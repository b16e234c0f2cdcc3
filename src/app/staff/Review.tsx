import { type ReactNode, useState } from 'react';
import type { VisitRecord } from '../../records/derive';
import { isMadeUp } from '../../records/invented';
import { cloudAnswer, heardAndSpoken } from '../../records/note';
import { outcomeNames } from '../../records/outcome-names';
import type { Summary } from '../../records/summary';
import { headline } from './headline';
import styles from './Staff.module.css';
import { Tries } from './Tries';

/** One visit for the clinician: gravest first, with what was said and why it was judged so; the note to paste. */
export function Review({
  record,
  summary,
  note,
  onPrint,
  onExport,
  onCopied,
  onBack,
  children,
  end,
}: {
  record: VisitRecord;
  summary: Summary;
  note: string;
  onPrint: (large: boolean) => void;
  /** Saves the visit as a file for a record system. Throws with a sentence. */
  onExport: () => void;
  onCopied: () => void;
  onBack: () => void;
  /** What else can be done with the visit. */
  children?: ReactNode;
  /** And last. */
  end?: ReactNode;
}) {
  const [said, setSaid] = useState('');
  const copy = () =>
    navigator.clipboard.writeText(note).then(
      () => {
        setSaid('Copied.');
        onCopied();
      },
      () => setSaid('The browser did not allow copying; select the text below.'),
    );
  const saveFile = () => {
    try {
      onExport();
      setSaid('Saved with the downloads of this browser. It names the learner: keep it as you keep a chart.');
    } catch (error) {
      setSaid((error as Error).message);
    }
  };
  return (
    <main className={styles.staff} data-screen="review">
      <h1>
        {record.start ? `${record.start.ward}, bed ${record.start.bed}` : 'Visit'}
        {record.start && isMadeUp(record.start) && (record.start.practice ? ' (practice)' : ' (invented)')}
      </h1>
      <p className={styles.caption}>
        {heardAndSpoken(record)}; {record.minutes} min. A label is an opinion; you decide.
      </p>
      {record.cloud && <p className={styles.caption}>{cloudAnswer(record.cloud)}</p>}
      <div className={styles.buttons}>
        <button type="button" className={styles.go} onClick={() => onPrint(false)}>
          Print handout
        </button>
        <button type="button" onClick={() => onPrint(true)}>
          Print it in large letters
        </button>
        <button type="button" onClick={copy}>
          Copy note
        </button>
        {/* An invented learner is for no record. */}
        {!(record.start && isMadeUp(record.start)) && (
          <button type="button" onClick={saveFile}>
            Export as FHIR
          </button>
        )}
        <button type="button" onClick={onBack}>
          Back
        </button>
        <span role="status">{said}</span>
      </div>
      <p className={styles.lead}>{headline(record)}</p>
      <Questions record={record} />
      {children}
      <h2>Points</h2>
      <table className={styles.table}>
        <thead>
          <tr>
            <th>Point</th>
            <th>Outcome</th>
            <th>Said, with the words that decided it</th>
          </tr>
        </thead>
        <tbody>
          {summary.rows.map((row, i) => (
            <tr key={row.concept}>
              <td>
                <strong>{row.label}</strong>
                <br />
                {row.step}
                {row.weight === 'critical' && ' · critical'}
              </td>
              <td>
                <span
                  className={`${styles.badge} ${row.outcome === 'needs-person' ? styles.needsPerson : row.outcome === 'not-asked' || row.outcome === 'not-said' ? '' : styles.learned}`}
                >
                  {outcomeNames[row.outcome]}
                </span>
              </td>
              <td>
                {record.concepts[i]!.answers.length > 0 ? <Tries point={record.concepts[i]!} /> : row.reason}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Shown record={record} />
      <h2>Note for the chart</h2>
      <pre className={styles.note}>{note}</pre>
      {end}
    </main>
  );
}

/** What the learner asked, and when help was called. */
function Questions({ record: { questions, helpCalls } }: { record: VisitRecord }) {
  if (questions.length + helpCalls.length === 0) return null;
  return (
    <>
      <h2>Questions and calls for help</h2>
      <ul className={styles.list}>
        {questions.map(({ at, text, answer }) => (
          <li key={`${at} ${text}`}>
            <q>{text}</q>{' '}
            {answer === null ? (
              <strong className={styles.needsPerson}>not answered yet</strong>
            ) : (
              <span className={styles.caption}>answered: {answer}</span>
            )}
          </li>
        ))}
        {helpCalls.map(({ at, by, text }) => (
          <li key={`${at} help`}>
            Help was called by {helpNames[by]}
            {text && (
              <>
                : <q>{text}</q>
              </>
            )}
          </li>
        ))}
      </ul>
    </>
  );
}

const helpNames = { learner: 'the learner', distress: 'words of distress', staff: 'staff' } as const;

/** What the hands showed. */
function Shown({ record: { showMe } }: { record: VisitRecord }) {
  if (showMe.length === 0) return null;
  return (
    <>
      <h2>Showed it</h2>
      <ul className={styles.list}>
        {showMe.map(({ point, text, shown }) => (
          <li key={point}>
            {text}{' '}
            <strong className={shown === null ? styles.caption : shown ? styles.learned : styles.needsPerson}>
              {shown === null ? 'not watched' : shown ? 'shown' : 'not yet'}
            </strong>
          </li>
        ))}
      </ul>
    </>
  );
}
