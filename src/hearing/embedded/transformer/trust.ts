import type { HeardWord } from '../../types';
import type { ReadToken } from './beam';

/** A word as it was read. */
export interface ReadWord {
  word: string;
  /** Natural logarithms of the probabilities of its tokens, and of the likeliest others in their places. */
  logs: number[];
  rivals: number[];
  /** How much likelier the word is here than at large, a natural logarithm. */
  odds: number;
}

/** How much likelier a word is after another, or at a start (''), than at large: a natural logarithm. */
export type Odds = (before: string, word: string) => number;

/** The words of a reading: letters, figures and apostrophes; what stands between them belongs to the one before. */
export function wordsOf(read: readonly ReadToken[], odds: Odds): ReadWord[] {
  const words: ReadWord[] = [];
  /** The word before each. */
  const befores: string[] = [];
  let open: ReadWord | undefined;
  let before = '';
  for (const { piece, log, rival } of read) {
    let counted: ReadWord | undefined;
    for (const letter of piece) {
      if (!/[\p{L}\p{M}\d'’]/u.test(letter)) {
        before = /[.!?]/.test(letter) ? '' : (open?.word ?? before);
        open = undefined;
        continue;
      }
      if (!open) {
        open = { word: '', logs: [], rivals: [], odds: 0 };
        words.push(open);
        befores.push(before);
      }
      open.word += letter;
      if (counted !== open) {
        open.logs.push(log);
        open.rivals.push(rival);
      }
      counted = open;
    }
  }
  words.forEach((word, i) => {
    word.odds = odds(befores[i]!, word.word);
  });
  return words.filter(({ word }) => /[\p{L}\d]/u.test(word));
}

/*
 * Logistic regressions, fitted by tests/bench/hearing-trust.ts on 300 recordings of answers about three devices (three
 * voices of flite; clean and among dishes at 20, 10 and 5 dB) and on 300 of people who spoke of other things. Fitted on
 * one half and tried on the other, words said to be right with 0.12, 0.31, 0.51, 0.72 and 0.91 were so in 0.30, 0.41,
 * 0.39, 0.63 and 0.92 of cases (area under the curve 0.84), and turns said to have half of their words right with
 * 0.08, 0.26, 0.51, 0.70 and 0.97 had them so in 0.43, 0.20, 0.47, 0.54 and 0.96 (0.91).
 */
const weights = [2.979, 1.705, 1.719, -1.259, 0.129];
const turnWeights = [4.905, 5.154, -0.105, 0.216];

/**
 * What speaks for a word: its weakest piece, the whole turn, how much likelier another was (a piece that one other
 * outdid is righter than one among many), and the step.
 */
export function cluesOf(words: readonly ReadWord[]): number[][] {
  const turn = mean(words.flatMap(({ logs }) => logs));
  return words.map(({ logs, rivals, odds }) => [
    Math.min(...logs),
    turn,
    Math.min(0, ...logs.map((log, i) => log - rivals[i]!)),
    odds,
  ]);
}

/** What speaks for a turn: its pieces, its weaker words, and how many they are. */
export function turnCluesOf(words: readonly ReadWord[]): number[] {
  const least = words.map(({ logs }) => Math.min(...logs)).sort((a, b) => a - b);
  return [
    mean(words.flatMap(({ logs }) => logs)),
    least[Math.floor((least.length - 1) / 4)] ?? 0,
    Math.log(Math.max(1, words.length)),
  ];
}

/** Probability of each word to be right, 0..1. */
export function wordTrust(words: readonly ReadWord[]): HeardWord[] {
  const clues = cluesOf(words);
  return words.map(({ word }, i) => ({ word, confidence: believed(weights, clues[i]!) }));
}

/** Probability that at least half of a turn's words are right: of such a turn, the scorer makes hardly a mistake. */
export const turnTrust = (words: readonly ReadWord[]): number =>
  words.length === 0 ? 0 : believed(turnWeights, turnCluesOf(words));

/** Probability by weights of which the first is that of nothing. */
export const believed = ([bias, ...weights]: readonly number[], clues: readonly number[]): number =>
  1 / (1 + Math.exp(-clues.reduce((sum, clue, i) => sum + weights[i]! * clue, bias!)));

const mean = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
