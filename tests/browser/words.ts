import { readCommon } from '../../phrasebanks/read';

/** The words on the screens of a language, to press buttons by their names. */
export const wordsIn = (language: string) => readCommon(language).screens;

export const en = wordsIn('en');
