import type { HeardWord } from '../../types';

/** A word as it was read. */
export interface ReadWord {
  word: string;
  /** Natural logarithms of the probabilities of its tokens. */
  logs: number[];
}

/** The words of a reading: letters, figures and apostrophes; what stands between them belongs to the one before. */
export function wordsOf(tokens: readonly { piece: string; log: number }[]): ReadWord[] {
  const words: ReadWord[] = [];
  let open: ReadWord | undefined;
  for (const { piece, log } of tokens) {
    let counted: ReadWord | undefined;
    for (const letter of piece) {
      if (!/[\p{L}\p{M}\d'’]/u.test(letter)) {
        open = undefined;
        continue;
      }
      if (!open) {
        open = { word: '', logs: [] };
        words.push(open);
      }
      open.word += letter;
      if (counted !== open) open.logs.push(log);
      counted = open;
    }
  }
  return words.filter(({ word }) => /[\p{L}\d]/u.test(word));
}

const weights = { bias: 0, least: 1, mean: 0, turn: 0 };
const turnWeights = { bias: 0, mean: 1, weakest: 0, count: 0 };

/** Probability of each word to be right, 0..1. */
export function wordTrust(words: readonly ReadWord[]): HeardWord[] {
  const turn = mean(words.flatMap(({ logs }) => logs));
  return words.map(({ word, logs }) => ({
    word,
    confidence: logistic(
      weights.bias + weights.least * Math.min(...logs) + weights.mean * mean(logs) + weights.turn * turn,
    ),
  }));
}

/** Probability that at least two thirds of a turn's words are right, which a judge of answers can work with. */
export function turnTrust(words: readonly ReadWord[]): number {
  if (words.length === 0) return 0;
  const least = words.map(({ logs }) => Math.min(...logs)).sort((a, b) => a - b);
  return logistic(
    turnWeights.bias +
      turnWeights.mean * mean(words.flatMap(({ logs }) => logs)) +
      turnWeights.weakest * least[Math.floor((least.length - 1) / 4)]! +
      turnWeights.count * Math.log(words.length),
  );
}

const mean = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
const logistic = (x: number) => 1 / (1 + Math.exp(-x));
