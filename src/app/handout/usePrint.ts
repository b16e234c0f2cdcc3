import { useState } from 'react';
import { flushSync } from 'react-dom';

/** Prints what the page holds for paper, in usual or in large letters. */
export function usePrint(): { large: boolean; print: (large: boolean) => void } {
  const [large, setLarge] = useState(false);
  const print = (inLarge: boolean) => {
    // The print dialog takes the page as it stands.
    flushSync(() => setLarge(inLarge));
    window.print();
  };
  return { large, print };
}
