import { useEffect, useRef } from 'react';
import styles from './Staff.module.css';

/** The code for the envelope, which is shown this once. */
export function Code({ code, onDone }: { code: string; onDone: () => void }) {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  return (
    <main className={styles.staff} data-screen="code">
      <h1 ref={title} tabIndex={-1}>
        Write this code down
      </h1>
      <p className={styles.code} translate="no">
        {code}
      </p>
      <p>
        Put it into an envelope, close it, and keep it where the ward keeps its spare keys, away from this
        device. It opens the records when nobody with an id can. If all secrets and this code are lost, nobody
        can read the records any more.
      </p>
      <p className={styles.caution}>It is shown only now.</p>
      <div className={styles.buttons}>
        <button type="button" className={styles.go} onClick={onDone}>
          It is written down
        </button>
      </div>
    </main>
  );
}
