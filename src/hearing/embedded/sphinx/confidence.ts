import { type DecodedWord, logScore } from './decoder';
import type { FreeFit } from './phone-loop';

/** What is known of a heard word without knowing whether it is right. */
export interface WordSigns {
  /** Mean log score of a frame: how far the sound was from the best that any sound of the model fits. */
  fit: number;
  /** How far the word fits better than free phones do over the same time. */
  lead: number;
  seconds: number;
  /** 1 when the phrases have the word after the one before it, and before the one after it. */
  before: number;
  after: number;
}

export function signsOf(
  words: readonly DecodedWord[],
  follows: (before: string, word: string) => boolean,
  free: FreeFit,
): WordSigns[] {
  return words.map(({ word, start, seconds, score }, i) => {
    const fit = logScore(score) / Math.max(seconds, 0.03);
    return {
      fit,
      lead: fit - (free(start, start + seconds) ?? fit),
      seconds: Math.max(seconds, 0.03),
      before: follows(words[i - 1]?.word ?? '', word) ? 1 : 0,
      after: follows(word, words[i + 1]?.word ?? '') ? 1 : 0,
    };
  });
}

/*
 * Made when this decoder heard English; French errs low by it. Logistic regression on the words heard of 478 answers about three devices, spoken by three voices of flite, a third
 * of them among dishes at 10 dB, and, with half the weight, of 581 clips of people who spoke of other things. Fitted
 * on one half and tried on the other, words said to be right with 0.13, 0.31, 0.50, 0.70 and 0.89 were right in 0.14,
 * 0.26, 0.45, 0.67 and 0.89 of cases (area under the curve 0.81). Synthetic voices: people who answer will differ.
 */
const weights = {
  bias: 0.641,
  lead: 2.142,
  fit: 4.555,
  length: -0.517,
  before: 0.132,
  after: 0.684,
  turn: 13.333,
};

/** Probability of each word to be right, 0..1. */
export function wordConfidences(signs: readonly WordSigns[]): number[] {
  const turn = mean(signs, ({ lead }) => lead);
  return signs.map(({ fit, lead, seconds, before, after }) =>
    logistic(
      weights.bias +
        weights.lead * lead +
        weights.fit * fit +
        weights.length * Math.log(seconds) +
        weights.before * before +
        weights.after * after +
        weights.turn * turn,
    ),
  );
}

/*
 * The same turns, of which 27 % had two thirds of their words right; tried on the other half, the area under the curve
 * is 0.88. The lead of the whole turn tells most: 0.10 in the middle of answers, -0.01 of speech about other things.
 */
const turnWeights = { bias: 2.365, lead: 17.386, fit: 6.072, count: 0.1, length: -3.909, weakest: 6.793 };

/** Probability that at least two thirds of a turn's words are right, which a judge of answers can work with. */
export function turnConfidence(signs: readonly WordSigns[]): number {
  if (signs.length === 0) return 0;
  const leads = signs.map(({ lead }) => lead).sort((a, b) => a - b);
  const at = (leads.length - 1) / 4;
  const low = leads[Math.floor(at)]!;
  const high = leads[Math.ceil(at)]!;
  return logistic(
    turnWeights.bias +
      turnWeights.lead * mean(signs, ({ lead }) => lead) +
      turnWeights.fit * mean(signs, ({ fit }) => fit) +
      turnWeights.count * Math.log(signs.length) +
      (turnWeights.length * signs.reduce((sum, { seconds }) => sum + seconds, 0)) / signs.length +
      turnWeights.weakest * (low + (at % 1) * (high - low)),
  );
}

/** Over the time of the words. */
function mean(signs: readonly WordSigns[], of: (signs: WordSigns) => number): number {
  let sum = 0;
  let seconds = 0;
  for (const each of signs) {
    sum += each.seconds * of(each);
    seconds += each.seconds;
  }
  return seconds > 0 ? sum / seconds : 0;
}

function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}
