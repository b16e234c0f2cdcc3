import { type KeyboardEvent, useRef, useState } from 'react';
import { Field } from './Field';
import styles from './Staff.module.css';
import { useWedge } from './useWedge';

/** Longest number that is taken. */
export const longestNumber = 80;

/** Whose visit it is, in the hospital's records: typed, or scanned from a wristband wherever the focus is. */
export function RecordNumber({ filed, problem }: { filed: boolean; problem: string | undefined }) {
  const input = useRef<HTMLInputElement>(null);
  const [scanned, setScanned] = useState('');
  useWedge(input, longestNumber, setScanned);
  /** A slow scanner is taken for a person: its Enter must not start the visit. */
  const stay = (event: KeyboardEvent<HTMLInputElement>) => {
    if (event.key !== 'Enter') return;
    event.preventDefault();
    const fields = [...(input.current?.form?.elements ?? [])];
    (fields[fields.indexOf(event.currentTarget) + 1] as HTMLElement | undefined)?.focus();
  };
  return (
    <>
      <Field
        ref={input}
        label={
          filed
            ? 'Record number of the patient, to file the visit: type or scan it (may be entered later)'
            : 'Record number of the patient (optional): type or scan it'
        }
        name="recordNumber"
        maxLength={longestNumber}
        problem={problem}
        onKeyDown={stay}
      />
      <p className={styles.caption} role="status">
        {scanned.length > longestNumber
          ? `That scan has ${scanned.length} characters; a record number has ${longestNumber} at most.`
          : scanned && `Scanned: ${scanned}. Compare it with the wristband.`}
      </p>
    </>
  );
}
