import { useRef } from 'react';
import type { PatientAsked } from '../../fhir/whose';
import type { OutboxRow } from '../../records/types';
import styles from './Staff.module.css';
import { filed } from './VisitTable';
import { Whose } from './Whose';

/** Whose visit this was, in the hospital's records, and how far its filing there is. */
export function Record({
  number,
  row,
  asked = null,
  entered = '',
  onWhose = () => {},
  onFile,
  onSettled = () => {},
}: {
  number: string | null;
  row: OutboxRow | undefined;
  /** Whom the record has under this number, where staff have to say whether it is the right one. */
  asked?: PatientAsked | null;
  /** Whom the start form named. */
  entered?: string;
  onWhose?: (asked: PatientAsked, yes: boolean) => void;
  /** Without a number: as it is. */
  onFile: (number?: string) => void;
  /** It was put into the chart by hand. */
  onSettled?: () => void;
}) {
  const open = row?.state !== 'filed';
  const state = useRef<HTMLParagraphElement>(null);
  const field = useRef<HTMLInputElement>(null);
  /** The question goes with the button that was pressed: the focus goes to what comes next. */
  const answer = (asked: PatientAsked, yes: boolean) => {
    onWhose(asked, yes);
    if (yes) state.current?.focus();
    else field.current?.focus();
  };
  return (
    <section aria-label="Filing in the record">
      <h2>Record</h2>
      <p role="status" ref={state} tabIndex={-1}>
        {row ? `This visit is ${stateOf(row)}.` : 'This visit is not filed in the record.'}
      </p>
      {row?.problem && <p className={styles.caution}>{row.problem}</p>}
      {asked && <Whose asked={asked} entered={entered} onAnswer={(yes) => answer(asked, yes)} />}
      {open && (
        <form
          className={styles.buttons}
          onSubmit={(event) => {
            event.preventDefault();
            const given = String(new FormData(event.currentTarget).get('recordNumber') ?? '').trim();
            if (given) onFile(given === number ? undefined : given);
          }}
        >
          <label className={styles.field}>
            Record number of the patient
            <input
              ref={field}
              name="recordNumber"
              required
              maxLength={80}
              autoComplete="off"
              defaultValue={number ?? ''}
            />
          </label>
          <button type="submit">{row ? 'Try again' : 'File in the record'}</button>
          {row?.state === 'held' && (
            <button
              type="button"
              onClick={() => {
                state.current?.focus();
                onSettled();
              }}
            >
              It is in the chart
            </button>
          )}
        </form>
      )}
    </section>
  );
}

const stateOf = (row: OutboxRow): string => (row.state === 'held' ? 'held until you act' : filed(row));
