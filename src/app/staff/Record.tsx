import type { OutboxRow } from '../../records/types';
import styles from './Staff.module.css';
import { filed } from './VisitTable';

/** Whose visit this was, in the hospital's records, and how far its filing there is. */
export function Record({
  number,
  row,
  onFile,
}: {
  number: string | null;
  row: OutboxRow | undefined;
  /** Without a number: as it is. */
  onFile: (number?: string) => void;
}) {
  const open = row?.state !== 'filed';
  return (
    <section aria-label="Filing in the record">
      <h2>Record</h2>
      <p role="status">{row ? `This visit is ${stateOf(row)}.` : 'This visit is not filed in the record.'}</p>
      {row?.problem && <p className={styles.caution}>{row.problem}</p>}
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
              name="recordNumber"
              required
              maxLength={80}
              autoComplete="off"
              defaultValue={number ?? ''}
            />
          </label>
          <button type="submit">{row ? 'Try again' : 'File in the record'}</button>
        </form>
      )}
    </section>
  );
}

const stateOf = (row: OutboxRow): string => (row.state === 'held' ? 'held until you act' : filed(row));
