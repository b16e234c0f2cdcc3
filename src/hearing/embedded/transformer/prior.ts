import type { PhraseSource } from '../phrases';
import { Chances } from './chances';

export interface PriorOptions {
  /** Words that may come anywhere. */
  vocabulary?: Chances;
  /** Probability that a word that follows from no phrase is drawn from the vocabulary, 0..1. */
  vocabularyShare?: number;
  /** Probability that a word is none of those that are known. */
  strange?: number;
}

/** Probability of a letter of a word that is not known: English words have about 2.3 bits a letter. */
const STRANGE_LETTER = 0.2;

/**
 * How likely words are to be said, while they are being spelled: phrases as bigrams with Witten-Bell back-off
 * (Witten & Bell, IEEE Trans. Information Theory 37(4), 1991) to words at large, summed over all words that begin
 * alike.
 */
export class Prior {
  readonly #words: Chances;
  readonly #vocabulary: Chances | undefined;
  /** Of the words that come anywhere, how many are drawn from the vocabulary. */
  readonly #share: number;
  readonly #after = new Map<string, { trust: number; words: Chances }>();
  readonly #strange: number;

  /** @param sources phrases as their words */
  constructor(sources: readonly PhraseSource<readonly string[]>[], options: PriorOptions = {}) {
    const { vocabulary, vocabularyShare = 0.1, strange = 0.02 } = options;
    const counts = new Map<string, number>();
    const pairs = new Map<string, Map<string, number>>();
    const add = (to: Map<string, number>, key: string, weight: number) =>
      to.set(key, (to.get(key) ?? 0) + weight);
    for (const { phrases, weight } of sources)
      for (const phrase of phrases) {
        let before = '';
        for (const word of phrase) {
          add(counts, word, weight);
          let after = pairs.get(before);
          if (!after) {
            after = new Map();
            pairs.set(before, after);
          }
          add(after, word, weight);
          before = word;
        }
      }
    this.#strange = strange;
    this.#words = new Chances(counts);
    this.#vocabulary = vocabulary;
    this.#share = vocabulary ? (counts.size > 0 ? vocabularyShare : 1) : 0;
    for (const [before, after] of pairs) {
      const words = new Chances(after);
      this.#after.set(before, { trust: words.seen / (words.seen + after.size), words });
    }
  }

  /** Probability that the word after `before` begins with these letters; '' before stands for a start. */
  begins(before: string, letters: string): number {
    return (
      this.#known(before, (words) => words.begins(letters)) + this.#strange * STRANGE_LETTER ** letters.length
    );
  }

  /** Probability that the word after `before` is this one. */
  is(before: string, word: string): number {
    return (
      this.#known(before, (words) => words.is(word)) +
      this.#strange * (1 - STRANGE_LETTER) * STRANGE_LETTER ** word.length
    );
  }

  #known(before: string, chance: (of: Chances) => number): number {
    const share = this.#share;
    const wide =
      (1 - this.#strange) *
      ((1 - share) * chance(this.#words) + (this.#vocabulary ? share * chance(this.#vocabulary) : 0));
    const after = this.#after.get(before);
    return after ? after.trust * chance(after.words) + (1 - after.trust) * wide : wide;
  }
}
