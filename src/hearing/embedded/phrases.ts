/** What may be answered. */
export interface AnswerPhrases {
  /** Short answers that are nearly all that is said. */
  likely?: readonly string[];
  /** Of the step that is asked: most likely. */
  step: readonly string[];
  /** Of the module around it. */
  module: readonly string[];
}

/** Sentences that are likely to be said, and how much they count. */
export interface PhraseSource {
  phrases: readonly string[];
  weight: number;
}

/** How much each counts, measured by tests/bench/hearing.ts. `everyday`: what is said at home about anything. */
export const phraseSources = (
  { likely = [], step, module }: AnswerPhrases,
  everyday: readonly string[],
): PhraseSource[] => [
  { phrases: likely, weight: 480 },
  { phrases: step, weight: 8 },
  { phrases: module, weight: 1 },
  { phrases: everyday, weight: 0.1 },
];
