import type { PhraseSource } from '../phrases';
import { tokens as englishTokens } from '../tokens';

export interface LanguageModelOptions {
  /** Words that may come anywhere, with how often they are said at large (any scale). */
  vocabulary?: Iterable<readonly [word: string, frequency: number]>;
  /** Probability that a word that follows from no phrase is drawn from the vocabulary, 0..1. */
  vocabularyShare?: number;
  /** How a phrase falls into words. Default: as in English. */
  tokens?: (phrase: string) => string[];
  /** Has the recogniser a pronunciation for the word? Others are left out and reported. */
  knows: (word: string) => boolean;
  /** Least probability that the speaker stops after any word. */
  stop?: number;
  /** Weight of the back-off beside Witten-Bell's: above 1 trusts the phrases less. */
  backOff?: number;
}

export interface LanguageModel {
  /** The grammar in FSG text. */
  fsg: string;
  words: string[];
  /** Is the word said after the other one in any phrase? '' stands for start and end. */
  follows: (before: string, word: string) => boolean;
  /** Words of the phrases that have no pronunciation, so cannot be heard. */
  unknown: string[];
  arcs: number;
}

const START = 0;
const FINAL = 1;
const BACK_OFF = 2;
const FIRST_WORD = 3;

/**
 * Compiles phrases into a bigram language model with Witten-Bell back-off (Witten & Bell, IEEE Trans.
 * Information Theory 37(4), 1991), written as a finite-state grammar: one state a word, seen bigrams as arcs,
 * an empty arc from each word to the back-off state and from there an arc to every word by its unigram weight.
 * Every word state also has an empty arc to the end: without it nothing at all is heard when the speaker
 * stops at an unforeseen place.
 */
export function compileLanguageModel(
  sources: readonly PhraseSource[],
  options: LanguageModelOptions,
): LanguageModel {
  const {
    knows,
    tokens = englishTokens,
    vocabulary = [],
    vocabularyShare = 0.1,
    stop = 0.02,
    backOff = 1,
  } = options;
  const unigrams = new Map<string, number>();
  const bigrams = new Map<string, Map<string, number>>();
  const ends = new Map<string, number>();
  const unknown = new Set<string>();
  const known = new Map<string, boolean>();
  const isKnown = (word: string) => {
    let answer = known.get(word);
    if (answer === undefined) {
      answer = knows(word);
      known.set(word, answer);
    }
    return answer;
  };

  const follow = (before: string, word: string, weight: number) => {
    let followers = bigrams.get(before);
    if (!followers) {
      followers = new Map();
      bigrams.set(before, followers);
    }
    followers.set(word, (followers.get(word) ?? 0) + weight);
  };

  for (const { phrases, weight } of sources) {
    for (const phrase of phrases) {
      let before: string | undefined = '';
      for (const word of tokens(phrase)) {
        if (!isKnown(word)) {
          unknown.add(word);
          before = undefined; // no bigram across a gap
          continue;
        }
        unigrams.set(word, (unigrams.get(word) ?? 0) + weight);
        if (before !== undefined) follow(before, word, weight);
        before = word;
      }
      if (before) ends.set(before, (ends.get(before) ?? 0) + weight);
    }
  }
  const atLarge = new Map<string, number>();
  for (const [word, frequency] of vocabulary) {
    if (isKnown(word)) atLarge.set(word, (atLarge.get(word) ?? 0) + frequency);
  }
  if (unigrams.size === 0) throw new Error('a language model needs at least one phrase with known words');

  const words = [...new Set([...unigrams.keys(), ...atLarge.keys()])].sort();
  const stateOf = new Map(words.map((word, index) => [word, FIRST_WORD + index]));
  const total = sum(unigrams.values());
  const lines: string[] = [];
  const arc = (from: number, to: number, probability: number, word = '') =>
    lines.push(`TRANSITION ${from} ${to} ${probability.toExponential(4)}${word && ` ${word}`}`);

  const totalAtLarge = sum(atLarge.values());
  const share = totalAtLarge > 0 ? vocabularyShare : 0;
  const chance = (word: string) =>
    ((1 - share) * (unigrams.get(word) ?? 0)) / total +
    (share > 0 ? (share * (atLarge.get(word) ?? 0)) / totalAtLarge : 0);
  const leave = (from: number, before: string) => {
    const said = bigrams.get(before);
    const ended = before ? (ends.get(before) ?? 0) : 0;
    const seen = sum(said?.values() ?? []) + ended;
    const kinds = ((said?.size ?? 0) + (ended ? 1 : 0)) * backOff;
    const trust = seen === 0 ? 0 : seen / (seen + kinds);
    for (const [word, count] of said ?? [])
      arc(from, stateOf.get(word)!, (trust * count) / seen + (1 - trust) * chance(word), word);
    arc(from, BACK_OFF, 1 - trust);
    if (before) arc(from, FINAL, Math.max(stop, seen === 0 ? 0 : (trust * ended) / seen));
  };

  leave(START, '');
  for (const word of words) leave(stateOf.get(word)!, word);
  for (const word of words) arc(BACK_OFF, stateOf.get(word)!, chance(word), word);
  const fsg = [
    'FSG_BEGIN <answer>',
    `NUM_STATES ${FIRST_WORD + words.length}`,
    `START_STATE ${START}`,
    `FINAL_STATE ${FINAL}`,
    ...lines,
    'FSG_END',
    '',
  ].join('\n');
  return {
    fsg,
    words,
    follows: (before, word) => (word === '' ? ends.has(before) : (bigrams.get(before)?.has(word) ?? false)),
    unknown: [...unknown].sort(),
    arcs: lines.length,
  };
}

function sum(values: Iterable<number>): number {
  let total = 0;
  for (const value of values) total += value;
  return total;
}
