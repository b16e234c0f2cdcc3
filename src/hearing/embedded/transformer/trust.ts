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

/*
 * Logistic regression on what was read of 160 recordings of answers about three devices (three voices of flite, half of
 * them among dishes at 10 dB) and of 292 of people who spoke of other things. Fitted on one half and tried on the
 * other, turns of which half of the words were said to be right with 0.32, 0.50, 0.71 and 0.94 had them so in 0.40,
 * 0.71, 0.69 and 0.95 of cases (area under the curve 0.90). Words said to be right with 0.31, 0.51, 0.72 and 0.91 were
 * so in 0.39, 0.38, 0.65 and 0.92 (0.83).
 */
const weights = { bias: 2.88, least: 1.0, turn: 2.0 };
const turnWeights = { bias: 2.67, mean: 1.46, weakest: 1.15, count: 0.585 };

/** Probability of each word to be right, 0..1. */
export function wordTrust(words: readonly ReadWord[]): HeardWord[] {
  const turn = mean(words.flatMap(({ logs }) => logs));
  return words.map(({ word, logs }) => ({
    word,
    confidence: logistic(weights.bias + weights.least * Math.min(...logs) + weights.turn * turn),
  }));
}

/** Probability that at least half of a turn's words are right: of such a turn, the scorer makes hardly a mistake. */
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
