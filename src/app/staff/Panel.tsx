import { type ReactNode, useEffect, useRef, useState } from 'react';
import type { Addition } from '../desks/review';
import { FormPanel } from './FormPanel';
import { Problem } from './Problem';
import { useReviewer } from './reviewer';
import styles from './Staff.module.css';
import { useAsked } from './useAsked';

/** A button that opens a small form. Closed again, the focus is on the button. */
export function useOpened() {
  const [open, setOpen] = useState(false);
  const button = useRef<HTMLButtonElement>(null);
  return {
    open,
    button: {
      ref: button,
      type: 'button' as const,
      className: styles.quiet,
      'aria-expanded': open,
      onClick: () => setOpen((before) => !before),
    },
    close: () => {
      setOpen(false);
      button.current?.focus();
    },
  };
}

/** Who adds it: told where the records were opened by somebody, else typed. */
export function Name({ label = 'Your name' }: { label?: string }) {
  const { me, name, onName } = useReviewer();
  if (me) return <p className={styles.caption}>As {me.name}.</p>;
  return (
    <label className={styles.field}>
      {label}
      <input
        name="by"
        required
        maxLength={80}
        autoComplete="off"
        value={name}
        onChange={(event) => onName(event.target.value)}
      />
    </label>
  );
}

/** A small form by which something is added to the record of the visit. Escape leaves it. */
export function Panel({
  legend,
  submit,
  done,
  make,
  onClose,
  children,
}: {
  legend: string;
  submit: string;
  /** Said when it is stored. */
  done: string;
  /** What is added, by what stands in the fields. Throws with a sentence. */
  make: (word: (name: string) => string) => Addition[];
  onClose: () => void;
  children?: ReactNode;
}) {
  const { add, tell } = useReviewer();
  const { busy, problem, onSubmit } = useAsked();
  const panel = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const [first] = ['input:checked', 'input, textarea', 'button'].flatMap(
      (wanted) => panel.current?.querySelector<HTMLElement>(wanted) ?? [],
    );
    first?.focus();
  }, []);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: Escape is a short cut to the button "Cancel"
    <div
      ref={panel}
      className={styles.form}
      onKeyDown={({ key }) => {
        if (key === 'Escape') onClose();
      }}
    >
      <FormPanel
        legend={legend}
        submit={submit}
        busy={busy}
        onSubmit={onSubmit(async (word) => {
          await add(make(word));
          tell(done);
          onClose();
        })}
        beside={
          <button type="button" onClick={onClose}>
            Cancel
          </button>
        }
      >
        {children}
        <Name />
        <Problem text={problem} />
      </FormPanel>
    </div>
  );
}
