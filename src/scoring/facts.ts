import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { standingOf } from './clauses';
import { normalize } from './normalize';
import type { Facts } from './pattern';
import { findNegations } from './polarity';
import { findQuantities } from './quantity';
import type { JudgeStep } from './step';

/** Text -> all that judging looks at. Never throws. */
export function factsOf(text: string, step: JudgeStep, pack: LanguagePack): Facts {
  const tokens = normalize(text, pack);
  return {
    tokens,
    places: step.lexicon.find(tokens),
    negations: findNegations(tokens, pack),
    quantities: findQuantities(tokens, pack),
    standing: standingOf(tokens, pack),
  };
}
