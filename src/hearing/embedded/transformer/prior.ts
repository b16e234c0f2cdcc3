import type { PhraseSource } from '../phrases';

export interface PriorOptions {
  /** Words that may come anywhere, with how often they are said at large (any scale). */
  vocabulary?: Iterable<readonly [word: string, frequency: number]>;
  /** Probability that a word that follows from no phrase is drawn from the vocabulary, 0..1. */
  vocabularyShare?: number;
  /** Probability that a word is none of those that are known. */
  strange?: number;
  tokens: (phrase: string) => string[];
}

/** Probability of a letter of a word that is not known: English words have about 2.3 bits a letter. */
const STRANGE_LETTER = 0.2;

/**
 * How likely words are to be said, while they are being spelled: phrases as bigrams with Witten-Bell back-off
 * (Witten & Bell, IEEE Trans. Information Theory 37(4), 1991) to words at large, summed over all words that begin
 * alike.
 */
export class Prior {
  readonly #words: string[];
  /** Sum of the chances of all words before each. */
  readonly #below: Float64Array;
  readonly #after = new Map<string, { trust: number; words: string[]; below: Float64Array }>();
  readonly #strange: number;

  constructor(sources: readonly PhraseSource[], options: PriorOptions) {
    const { vocabulary = [], vocabularyShare = 0.1, strange = 0.02, tokens } = options;
    const counts = new Map<string, number>();
    const pairs = new Map<string, Map<string, number>>();
    const add = (to: Map<string, number>, key: string, weight: number) =>
      to.set(key, (to.get(key) ?? 0) + weight);
    for (const { phrases, weight } of sources)
      for (const phrase of phrases) {
        let before = '';
        for (const word of tokens(phrase)) {
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
    const atLarge = new Map<string, number>();
    for (const [word, frequency] of vocabulary) add(atLarge, word, frequency);
    const total = sum(counts.values()) || 1;
    const totalAtLarge = sum(atLarge.values()) || 1;
    const share = atLarge.size > 0 ? (counts.size > 0 ? vocabularyShare : 1) : 0;
    this.#strange = strange;
    this.#words = [...new Set([...counts.keys(), ...atLarge.keys()])].sort(order);
    this.#below = cumulated(
      this.#words.map(
        (word) =>
          (1 - strange) *
          (((1 - share) * (counts.get(word) ?? 0)) / total +
            (share * (atLarge.get(word) ?? 0)) / totalAtLarge),
      ),
    );
    for (const [before, after] of pairs) {
      const seen = sum(after.values());
      const trust = seen / (seen + after.size);
      const words = [...after.keys()].sort(order);
      this.#after.set(before, {
        trust,
        words,
        below: cumulated(words.map((word) => after.get(word)! / seen)),
      });
    }
  }

  /** Probability that the word after `before` begins with these letters; '' before stands for a start. */
  begins(before: string, letters: string): number {
    return this.#mass(before, letters, `${letters}\uffff`) + this.#strange * STRANGE_LETTER ** letters.length;
  }

  /** Probability that the word after `before` is this one. */
  is(before: string, word: string): number {
    return (
      this.#mass(before, word, `${word}\u0000`) +
      this.#strange * (1 - STRANGE_LETTER) * STRANGE_LETTER ** word.length
    );
  }

  #mass(before: string, from: string, to: string): number {
    const after = this.#after.get(before);
    const trust = after?.trust ?? 0;
    const wide = between(this.#words, this.#below, from, to);
    return after ? trust * between(after.words, after.below, from, to) + (1 - trust) * wide : wide;
  }
}

const order = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);

function between(words: readonly string[], below: Float64Array, from: string, to: string): number {
  return below[place(words, to)]! - below[place(words, from)]!;
}

/** How many words come before this one. */
function place(words: readonly string[], word: string): number {
  let low = 0;
  let high = words.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (words[middle]! < word) low = middle + 1;
    else high = middle;
  }
  return low;
}

function cumulated(values: readonly number[]): Float64Array {
  const below = new Float64Array(values.length + 1);
  values.forEach((value, i) => {
    below[i + 1] = below[i]! + value;
  });
  return below;
}

function sum(values: Iterable<number>): number {
  let total = 0;
  for (const value of values) total += value;
  return total;
}
