import { type ComponentProps, useId } from 'react';
import styles from './Staff.module.css';

/** A line to be written in, with what is asked and, when it needs something, what. */
export function Field({
  label,
  problem = '',
  ...input
}: { label: string; name: string; problem?: string | undefined } & ComponentProps<'input'>) {
  const told = useId();
  return (
    <div className={styles.field}>
      <label className={styles.field}>
        {label}
        <input
          maxLength={80}
          autoComplete="off"
          {...input}
          {...(problem ? { 'aria-invalid': true, 'aria-describedby': told } : {})}
        />
      </label>
      <Needs id={told} text={problem} />
    </div>
  );
}

/** What a field needs, beside it; nothing when it needs nothing. */
export const Needs = ({ id, text }: { id: string; text: string | undefined }) =>
  text ? (
    <p id={id} className={styles.problem}>
      {text}
    </p>
  ) : null;
