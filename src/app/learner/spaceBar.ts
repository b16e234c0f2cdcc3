import { useEffect } from 'react';
import { mainButton } from './scanned';

/** What does something of its own with a space. */
const takesSpace = 'a[href], button, input, select, textarea, summary, [contenteditable], [role=button]';

/**
 * The space bar is the big button: whoever cannot see where the focus is need not look for it. Does nothing while
 * something that takes a space has the focus, where there are two answers to choose from, and while a switch has
 * the key (see Scanner).
 */
export function useSpaceBar(): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (
        event.defaultPrevented ||
        event.key !== ' ' ||
        event.repeat ||
        event.ctrlKey ||
        event.altKey ||
        event.metaKey
      )
        return;
      if (event.target instanceof Element && event.target.closest(takesSpace)) return;
      const button = mainButton(document);
      if (!button) return;
      event.preventDefault(); // it would scroll
      button.click();
    };
    document.addEventListener('keydown', press);
    return () => document.removeEventListener('keydown', press);
  }, []);
}
