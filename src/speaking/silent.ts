import { pause } from './pause';
import type { Speaking } from './types';

/** Milliseconds a word at rate 1: about 100 words a minute, a slow reader (own choice). */
const perWord = 600;
const shortest = 2000;

/** No sound: shows each caption as long as a slow reader needs, so that the visit goes on. */
export const silent: Speaking = {
  id: 'none',
  available: async () => true,
  async speak({ sentences, rate, onSentence }, signal) {
    for (const [index, sentence] of sentences.entries()) {
      if (signal.aborted) break;
      onSentence?.(index);
      const words = sentence.split(/\s+/).filter(Boolean).length;
      await pause(Math.max(shortest, (words * perWord) / rate), signal);
    }
    return { voice: 'none', reason: signal.aborted ? 'aborted' : 'finished' };
  },
};
