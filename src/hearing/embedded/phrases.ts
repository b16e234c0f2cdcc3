/** What may be answered: as text, or as its words. */
export interface AnswerPhrases<P = string> {
  /** Short answers that are nearly all that is said. */
  likely?: readonly P[];
  /** Of the step that is asked: most likely. */
  step: readonly P[];
  /** Of the module around it. */
  module: readonly P[];
}

/** Sentences that are likely to be said, and how much they count. */
export interface PhraseSource<P = string> {
  phrases: readonly P[];
  weight: number;
}

/** How much each counts, measured by tests/bench/hearing.ts. `everyday`: what is said at home about anything. */
export const phraseSources = <P>(
  { likely = [], step, module }: AnswerPhrases<P>,
  everyday: readonly P[],
): PhraseSource<P>[] => [
  { phrases: likely, weight: 480 },
  { phrases: step, weight: 8 },
  { phrases: module, weight: 1 },
  { phrases: everyday, weight: 0.1 },
];
