import type { Clues } from './draft';
import type { Label } from './types';

/*
 * Weights of a multinomial logistic regression over the clues, fitted by `npx tsx tests/bench/outside-fit.ts`
 * on the training part of SemEval-2013 task 7, Beetle (CC BY-SA 3.0); measured on its other parts by
 * `npm run -s bench:outside`.
 */

export const clueNames = [
  'fresh',
  'foreign',
  'silent',
  'turned',
  'both',
  'harmony',
  'order',
  'echo',
] as const;

/** By label: a weight a clue in the order of `clueNames`, and a constant last. */
export const draftWeights: Record<Label, readonly number[]> = {
  understood: [1.09, 0.03, -1.01, -0.44, -1.22, 3.71, 2.27, -0.68, -2.1],
  partial: [-0.58, -1.71, -1.63, 0.14, -3.11, 2.07, -0.57, -1.18, 1.9],
  missed: [0.13, 1.92, 4.69, -1.1, 3.86, -3.59, -3.77, 1.89, -0.52],
  misconception: [-0.66, -0.24, -2.05, 1.41, 0.48, -2.21, 2.06, -0.03, 0.74],
};

/** Clues -> probability of each label. */
export function draftOdds(clues: Clues): Record<Label, number> {
  const raw = (label: Label): number =>
    Math.exp(
      clueNames.reduce(
        (total, name, k) => total + clues[name] * (draftWeights[label][k] ?? 0),
        draftWeights[label].at(-1) ?? 0,
      ),
    );
  const odds = {
    understood: raw('understood'),
    partial: raw('partial'),
    missed: raw('missed'),
    misconception: raw('misconception'),
  };
  const total = odds.understood + odds.partial + odds.missed + odds.misconception;
  return {
    understood: odds.understood / total,
    partial: odds.partial / total,
    missed: odds.missed / total,
    misconception: odds.misconception / total,
  };
}
