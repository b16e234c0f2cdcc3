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
  understood: [1.1, 0.01, -1.02, -0.49, -1.15, 3.6, 2.28, -0.69, -2.07],
  partial: [-0.57, -1.73, -1.63, 0.12, -3.14, 2.05, -0.54, -1.18, 1.91],
  missed: [0.12, 1.93, 4.69, -1.07, 3.85, -3.53, -3.78, 1.89, -0.54],
  misconception: [-0.66, -0.22, -2.05, 1.44, 0.45, -2.13, 2.04, -0.02, 0.71],
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
