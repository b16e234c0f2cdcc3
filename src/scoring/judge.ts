import { standingOf } from './clauses';
import type { LanguagePack } from './language';
import { normalize } from './normalize';
import { findNegations } from './polarity';
import { findQuantities } from './quantity';
import type { JudgeStep } from './step';
import type { Finding, Utterance } from './types';
import { verdicts } from './verdict';

/**
 * Judges an answer against the concepts of a step, one finding a concept, in their order.
 * Any text is judged; a text without words misses everything. Never throws.
 */
export function judge(heard: string | Utterance, step: JudgeStep, pack: LanguagePack): Finding[] {
  const text = typeof heard === 'string' ? heard : heard.text;
  const confidence = typeof heard === 'string' ? 1 : Math.min(1, Math.max(0, heard.confidence));
  const tokens = normalize(text, pack);
  const facts = {
    tokens,
    places: step.lexicon.find(tokens),
    negations: findNegations(tokens, pack),
    quantities: findQuantities(tokens, pack),
    standing: standingOf(tokens, pack),
  };
  return verdicts(step, facts, confidence);
}
