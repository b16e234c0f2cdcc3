import { wordsByFrequency } from './words.en';

/*
 * Contractions and ways of speaking that the frequency data splits or lacks. Counts on its scale, from memory
 * of how often they are said; common practice, not data.
 */
const spoken: readonly (readonly [bin: number, words: string])[] = [
  [18, "don't it's i'm that's you're"],
  [17, "i'll can't he's didn't what's there's i've we're let's she's they're"],
  [16, "isn't doesn't won't wasn't i'd you'll you've we'll wouldn't couldn't haven't"],
  [
    15,
    "she'll he'll it'll you'd he'd she'd they'd we'd they'll they've we've aren't shouldn't hasn't ain't who's where's how's here's",
  ],
  [14, "weren't hadn't gonna gotta wanna kinda sorta lemme outta mustn't needn't that'll y'all 'cause 'em"],
];

/** Everyday words of English with how often they are said, on any one scale. */
export function everydayVocabulary(): [word: string, frequency: number][] {
  return [...wordsByFrequency, ...spoken].flatMap(([bin, words]) =>
    words.split(' ').map((word): [string, number] => [word, 2 ** bin]),
  );
}
