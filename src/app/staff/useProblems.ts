import { type FormEvent, type RefObject, useEffect, useRef, useState } from 'react';

/** What fields need, by their name. */
export type Problems = Record<string, string>;

/** The problems of a form, told beside its fields: the first takes the focus, and each goes as its field is changed. */
export function useProblems(): {
  problems: Problems;
  form: RefObject<HTMLFormElement | null>;
  tell: (problems: Problems) => void;
  onInput: (event: FormEvent<HTMLFormElement>) => void;
} {
  const [told, setTold] = useState<{ problems: Problems }>({ problems: {} });
  const form = useRef<HTMLFormElement>(null);
  const seek = useRef(false);
  // biome-ignore lint/correctness/useExhaustiveDependencies: each time that something is told
  useEffect(() => {
    if (!seek.current) return;
    seek.current = false;
    form.current?.querySelector<HTMLElement>('[aria-invalid]')?.focus();
  }, [told]);
  return {
    problems: told.problems,
    form,
    tell: (problems) => {
      seek.current = true;
      setTold({ problems });
    },
    onInput: ({ target }) => {
      const { name } = target as HTMLInputElement;
      // Drawn again for nothing, a choice from a list would fall back before it is known.
      setTold((before) => {
        const { [name]: gone, ...others } = before.problems;
        return gone === undefined ? before : { problems: others };
      });
    },
  };
}
