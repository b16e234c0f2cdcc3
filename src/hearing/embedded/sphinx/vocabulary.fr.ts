import { wordsByFrequency } from './words.fr';

/*
 * Ways of speaking that subtitles lack, on the scale of the list, from memory of how often they are said; common
 * practice, not data. Among them the tens of Belgium and Switzerland and the fillers of French-speaking Canada.
 */
const spoken: readonly (readonly [bin: number, words: string])[] = [
  [17, 'euh ben ouais pis'],
  [15, 'bah hein okay voilà donc'],
  [12, 'septante nonante quatre vingts virgule demi demie quart'],
  [11, 'huitante chais icitte astheure'],
];

/** Everyday words of French with how often they are said, on any one scale. */
export function everydayVocabulary(): [word: string, frequency: number][] {
  return [...wordsByFrequency, ...spoken].flatMap(([bin, words]) =>
    words.split(' ').map((word): [string, number] => [word, 2 ** bin]),
  );
}
