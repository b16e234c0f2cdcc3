import type { CommonFile } from '../../../phrasebanks/schema';

/** What may be said at any time, for a recogniser to expect: commands and words of distress. */
export const anytimePhrases = ({ commands, distress }: CommonFile): string[] => [
  ...Object.values(commands).flat(),
  ...distress.phrases,
];
