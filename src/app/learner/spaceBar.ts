import { type RefObject, useEffect } from 'react';

/** What does something of its own with a space. */
const takesSpace = 'a[href], button, input, select, textarea, summary, [contenteditable], [role=button]';

/**
 * The space bar is the big button: whoever cannot see where the focus is need not look for it. Does nothing while
 * something that takes a space has the focus, and where there are two answers to choose from.
 */
export function useSpaceBar(main: RefObject<HTMLElement | null>): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.key !== ' ' || event.repeat || event.ctrlKey || event.altKey || event.metaKey) return;
      if (event.target instanceof Element && event.target.closest(takesSpace)) return;
      const [button, ...more] =
        main.current?.querySelectorAll<HTMLButtonElement>('button:not([disabled])') ?? [];
      if (!button || more.length > 0) return;
      event.preventDefault(); // it would scroll
      button.click();
    };
    document.addEventListener('keydown', press);
    return () => document.removeEventListener('keydown', press);
  }, [main]);
}
