import { syllable } from 'syllable';

export interface Counts {
  sentences: number;
  words: number;
  syllables: number;
}

/** Flesch reading ease. */
export const flesch = ({ sentences, words, syllables }: Counts) =>
  206.835 - 1.015 * (words / sentences) - 84.6 * (syllables / words);

/** Flesch-Kincaid grade: years of school in the United States. */
export const grade = ({ sentences, words, syllables }: Counts) =>
  0.39 * (words / sentences) + 11.8 * (syllables / words) - 15.59;

/** Words as they are said; digits and slots must be filled in before. */
export const words = (text: string): string[] => text.match(/[\p{L}\p{N}]+(?:['’-][\p{L}\p{N}]+)*/gu) ?? [];

/** Sentences of a text, with their closing marks. */
export const sentences = (text: string): string[] =>
  text.split(/(?<=[.!?])\s+/u).filter((one) => words(one).length > 0);

export function count(text: string): Counts {
  const all = words(text);
  return {
    sentences: sentences(text).length,
    words: all.length,
    syllables: all.reduce((sum, word) => sum + syllable(word), 0),
  };
}
