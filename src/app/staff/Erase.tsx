import { useEffect, useId, useRef, useState } from 'react';
import type { OutboxView } from '../../fhir/outbox';
import styles from './Staff.module.css';

/** Does this visit wait to be filed? */
export function unfiled(outbox: OutboxView | null, visit: string): boolean {
  const row = outbox?.rows.get(visit);
  return row !== undefined && row.state !== 'filed';
}

/** Erases a visit, after asking once more. */
export function Erase({ unfiled, onErase }: { unfiled: boolean; onErase: () => void }) {
  const [asks, setAsks] = useState(false);
  const about = useId();
  const first = useRef<HTMLButtonElement>(null);
  const keep = useRef<HTMLButtonElement>(null);
  const pressed = useRef(false);
  useEffect(() => {
    // The button that had the focus has gone.
    if (pressed.current) (asks ? keep : first).current?.focus();
    pressed.current = true;
  }, [asks]);
  return (
    <section aria-label="Erase">
      <h2>Erase</h2>
      {asks ? (
        <>
          <p className={styles.caution} id={about}>
            Erase this visit for good? It cannot be brought back, but from a backup.
            {unfiled && ' It waits to be filed in the record, and will not be filed.'}
          </p>
          <div className={styles.buttons}>
            <button type="button" ref={keep} aria-describedby={about} onClick={() => setAsks(false)}>
              Keep it
            </button>
            <button type="button" onClick={onErase}>
              Erase it for good
            </button>
          </div>
        </>
      ) : (
        <div className={styles.buttons}>
          <button type="button" ref={first} onClick={() => setAsks(true)}>
            Erase this visit
          </button>
        </div>
      )}
    </section>
  );
}
