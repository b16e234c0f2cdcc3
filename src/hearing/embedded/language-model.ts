import { tokens } from './tokens';

/** Sentences that are likely to be said, and how much they count. */
export interface PhraseSource {
  phrases: readonly string[];
  weight: number;
}

export interface LanguageModelOptions {
  /** Words that may come anywhere, most of them never; each counts `vocabularyWeight`. */
  vocabulary?: readonly string[];
  vocabularyWeight?: number;
  /** Has the recogniser a pronunciation for the word? Others are left out and reported. */
  knows: (word: string) => boolean;
  /** One-phone words that soak up what is in no dictionary, and the probability of all of them together. */
  garbage?: { words: readonly string[]; probability: number };
  /** Least probability that the speaker stops after any word. */
  stop?: number;
  /** Bigrams whose count is below this are left to the back-off. */
  cutoff?: number;
  /** Weight of the back-off beside Witten-Bell's: above 1 trusts the phrases less. */
  backOff?: number;
}

export interface LanguageModel {
  /** The grammar in FSG text. */
  fsg: string;
  words: string[];
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
    vocabulary = [],
    vocabularyWeight = 0.05,
    garbage,
    stop = 0.02,
    cutoff = 0,
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
  for (const word of vocabulary) {
    for (const part of tokens(word)) {
      if (isKnown(part)) unigrams.set(part, (unigrams.get(part) ?? 0) + vocabularyWeight);
    }
  }
  if (unigrams.size === 0) throw new Error('a language model needs at least one phrase with known words');

  const words = [...unigrams.keys()].sort();
  const stateOf = new Map(words.map((word, index) => [word, FIRST_WORD + index]));
  const total = sum(unigrams.values());
  const lines: string[] = [];
  const arc = (from: number, to: number, probability: number, word = '') =>
    lines.push(`TRANSITION ${from} ${to} ${probability.toExponential(4)}${word && ` ${word}`}`);

  const chance = (word: string) => unigrams.get(word)! / total;
  const leave = (from: number, before: string) => {
    const followers = bigrams.get(before);
    const ended = before ? (ends.get(before) ?? 0) : 0;
    if (!followers) {
      arc(from, BACK_OFF, 1 - stop);
      if (before) arc(from, FINAL, Math.max(stop, ended ? 0.5 : 0));
      return;
    }
    const seen = sum(followers.values()) + ended;
    const kinds = (followers.size + (ended ? 1 : 0)) * backOff;
    const trust = seen / (seen + kinds);
    for (const [word, count] of followers) {
      if (count >= cutoff)
        arc(from, stateOf.get(word)!, (trust * count) / seen + (1 - trust) * chance(word), word);
    }
    arc(from, BACK_OFF, 1 - trust);
    if (before) arc(from, FINAL, Math.max(stop, (trust * ended) / seen));
  };

  leave(START, '');
  for (const word of words) leave(stateOf.get(word)!, word);
  for (const word of words) arc(BACK_OFF, stateOf.get(word)!, chance(word), word);
  let states = FIRST_WORD + words.length;
  if (garbage && garbage.words.length > 0) {
    // One state for all of them: a loop of sounds that may go on, or give way to words again.
    const loop = states++;
    const each = garbage.probability / garbage.words.length;
    for (const word of garbage.words) {
      arc(BACK_OFF, loop, each, word);
      arc(loop, loop, 0.7 / garbage.words.length, word);
    }
    arc(loop, BACK_OFF, 0.3);
    arc(loop, FINAL, stop);
  }

  const fsg = [
    'FSG_BEGIN <answer>',
    `NUM_STATES ${states}`,
    `START_STATE ${START}`,
    `FINAL_STATE ${FINAL}`,
    ...lines,
    'FSG_END',
    '',
  ].join('\n');
  return { fsg, words, unknown: [...unknown].sort(), arcs: lines.length };
}

function sum(values: Iterable<number>): number {
  let total = 0;
  for (const value of values) total += value;
  return total;
}
