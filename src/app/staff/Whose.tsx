import type { PatientAsked } from '../../fhir/whose';
import styles from './Staff.module.css';

/** Before a visit is filed: is it the visit of the patient whom the record has under this number? */
export function Whose({
  asked: { number, name, born },
  entered,
  onAnswer,
}: {
  asked: PatientAsked;
  /** Whom the start form named: "I. M., the patient, bed 12". */
  entered: string;
  onAnswer: (yes: boolean) => void;
}) {
  return (
    <fieldset className={styles.panel}>
      <legend>Whose visit is this?</legend>
      <p>
        The record number {number} belongs to{' '}
        <strong>{name || 'somebody whose name the record does not have'}</strong>{' '}
        {born ? `(born ${birthday(born)})` : '(date of birth not known)'}. Is that the patient of this visit?
      </p>
      <p className={styles.caption}>Entered when the visit began: {entered}.</p>
      <div className={styles.buttons}>
        <button type="button" onClick={() => onAnswer(true)}>
          Yes, file it there
        </button>
        <button type="button" onClick={() => onAnswer(false)}>
          No, the number is wrong
        </button>
      </div>
    </fieldset>
  );
}

/** FHIR dates may be a year or a month only, and are not moved by time zones. */
function birthday(born: string): string {
  const [, year, month, day] = /^(\d{4})-(\d\d)-(\d\d)$/.exec(born) ?? [];
  if (!year || !month || !day) return born;
  const date = new Date(Date.UTC(Number(year), Number(month) - 1, Number(day)));
  return date.toLocaleDateString('en', { dateStyle: 'long', timeZone: 'UTC' });
}
