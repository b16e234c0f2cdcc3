import { type ReactNode, useEffect, useRef, useState } from 'react';
import type { VisitRecord } from '../../records/derive';
import { cloudAnswer, heardAndSpoken } from '../../records/engines';
import { isMadeUp } from '../../records/invented';
import type { Summary } from '../../records/summary';
import type { By } from '../../records/types';
import type { Addition } from '../desks/review';
import { headline } from './headline';
import { Points } from './Points';
import { Questions } from './Questions';
import { ReviewedBy } from './reviewer';
import { Shown } from './Shown';
import { SignOff, signedLine } from './SignOff';
import styles from './Staff.module.css';

/** One visit for the clinician: gravest first, with what was said and why it was judged so; the note to paste. */
export function Review({
  record,
  summary,
  note,
  me = null,
  onAdd,
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
  /** Who has opened the sealed records. */
  me?: By | null;
  /** Adds to the record; the name counts where nobody has opened. Rejects with a sentence. */
  onAdd: (additions: Addition[], name: string) => Promise<void>;
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
  const [name, setName] = useState('');
  const [signing, setSigning] = useState(false);
  const line = useRef<HTMLParagraphElement>(null);
  const signOff = useRef<HTMLHeadingElement>(null);
  const { signed, changedSince } = record.signOff;
  useEffect(() => {
    if (!signing || !signed || changedSince) return;
    setSigning(false);
    // Signed: printing and copying come next.
    line.current?.focus();
  }, [signing, signed, changedSince]);
  const reviewer = {
    ...{ me, name, onName: setName, tell: setSaid },
    add: (additions: Addition[]) => onAdd(additions, name),
  };
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
    <ReviewedBy value={reviewer}>
      <main className={styles.staff} data-screen="review">
        <h1>
          {record.start ? `${record.start.ward}, bed ${record.start.bed}` : 'Visit'}
          {record.start && isMadeUp(record.start) && (record.start.practice ? ' (practice)' : ' (invented)')}
        </h1>
        <p className={styles.caption}>
          {heardAndSpoken(record)}; {record.minutes} min. A label is an opinion; you decide.
        </p>
        {record.cloud && <p className={styles.caption}>{cloudAnswer(record.cloud)}</p>}
        <p
          ref={line}
          tabIndex={-1}
          className={changedSince ? styles.caution : signed ? styles.learned : undefined}
        >
          <strong>{signedLine(record)}</strong>
        </p>
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
          {(!signed || changedSince) && (
            <button type="button" onClick={() => signOff.current?.focus()}>
              Go to sign-off
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
        <Points concepts={record.concepts} rows={summary.rows} />
        <Shown record={record} />
        <SignOff record={record} heading={signOff} onSigned={() => setSigning(true)} />
        <h2>Note for the chart</h2>
        <pre className={styles.note}>{note}</pre>
        {end}
      </main>
    </ReviewedBy>
  );
}
