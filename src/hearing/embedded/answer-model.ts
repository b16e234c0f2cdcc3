import type { Decoder } from './decoder';
import { everydayEnglish } from './everyday.en';
import { compileLanguageModel, type LanguageModel } from './language-model';

/** What may be answered, most likely first. */
export interface AnswerPhrases {
  /** Of the step that is asked. */
  step: readonly string[];
  /** Of the module around it. */
  module: readonly string[];
}

export const sourceWeights = { step: 3, module: 1, everyday: 0.3 };

/** The language model of one answer. */
export function answerModel(phrases: AnswerPhrases, decoder: Decoder): LanguageModel {
  return compileLanguageModel(
    [
      { phrases: phrases.step, weight: sourceWeights.step },
      { phrases: phrases.module, weight: sourceWeights.module },
      { phrases: everydayEnglish(), weight: sourceWeights.everyday },
    ],
    { knows: (word) => decoder.phones(word) !== undefined },
  );
}
