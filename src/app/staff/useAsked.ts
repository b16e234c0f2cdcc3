import { type FormEvent, useState } from 'react';

const word = (form: FormData) => (name: string) => String(form.get(name) ?? '');

/** Forms whose work may take a moment or be refused: one at a time, and the refusal as a sentence. */
export function useAsked() {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  const [done, setDone] = useState('');
  /** @param work may resolve to what to say then; the form is emptied */
  const ask = async (work: () => Promise<unknown>, form?: HTMLFormElement) => {
    if (busy) return;
    setBusy(true);
    setProblem('');
    setDone('');
    try {
      const said = await work();
      setDone(typeof said === 'string' ? said : '');
      form?.reset();
    } catch (error) {
      setProblem((error as Error).message);
    }
    setBusy(false);
  };
  const onSubmit =
    (work: (word: (name: string) => string) => Promise<unknown>) => (event: FormEvent<HTMLFormElement>) => {
      event.preventDefault();
      const form = event.currentTarget;
      const words = word(new FormData(form));
      void ask(() => work(words), form);
    };
  return { busy, problem, done, ask, onSubmit };
}
