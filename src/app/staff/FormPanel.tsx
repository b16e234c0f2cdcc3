import type { FormEvent, ReactNode } from 'react';
import styles from './Staff.module.css';

/** A small form of its own, with one button that does what it says. */
export function FormPanel({
  legend,
  submit,
  busy,
  main = false,
  onSubmit,
  beside,
  children,
}: {
  legend: string;
  /** What the button says. */
  submit: string;
  busy: boolean;
  /** The one that is usually pressed on this screen. */
  main?: boolean;
  onSubmit: (event: FormEvent<HTMLFormElement>) => void;
  /** Other buttons. */
  beside?: ReactNode;
  children: ReactNode;
}) {
  return (
    <form onSubmit={onSubmit}>
      <fieldset>
        <legend>{legend}</legend>
        {children}
        <div className={styles.buttons}>
          <button type="submit" className={main ? styles.go : undefined} disabled={busy}>
            {submit}
          </button>
          {beside}
        </div>
      </fieldset>
    </form>
  );
}
