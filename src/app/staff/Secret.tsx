import { useId, useState } from 'react';
import styles from './Staff.module.css';

/** A field for a secret, which can be looked at: long ones are typed wrong on glass. */
export function Secret({ label, name, hint }: { label: string; name: string; hint?: string }) {
  const [shown, setShown] = useState(false);
  const about = useId();
  return (
    <>
      <label className={styles.field}>
        {label}
        <input
          name={name}
          type={shown ? 'text' : 'password'}
          required
          maxLength={200}
          autoComplete="off"
          autoCapitalize="off"
          spellCheck={false}
          {...(hint ? { 'aria-describedby': about } : {})}
        />
      </label>
      {hint && (
        <p className={styles.caption} id={about}>
          {hint}
        </p>
      )}
      <label>
        <input type="checkbox" checked={shown} onChange={(event) => setShown(event.target.checked)} /> Show it
      </label>
    </>
  );
}
