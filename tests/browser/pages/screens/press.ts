import { flushSync } from 'react-dom';

/** Presses the first of these that can be pressed. */
export const press = (selector: string) =>
  flushSync(() => document.querySelector<HTMLButtonElement>(`${selector}:not(:disabled)`)?.click());
