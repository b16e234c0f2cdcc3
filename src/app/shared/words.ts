import { createContext, useContext } from 'react';
import type { Screens } from '../../../phrasebanks/schema';

const Words = createContext<Screens | null>(null);

/** Gives the screens below it their words: `<WordsOf value={lesson.common.screens}>`. */
export const WordsOf = Words.Provider;

/** The words of the screens, in the language of the visit. */
export function useWords(): Screens {
  const words = useContext(Words);
  if (!words) throw new Error('A screen of the learner stands outside WordsOf, so it has no words');
  return words;
}
