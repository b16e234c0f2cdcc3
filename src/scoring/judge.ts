import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { judgeHeard } from './alternatives';
import type { JudgeStep } from './step';
import type { Finding, Utterance } from './types';

/**
 * Judges an answer against the concepts of a step, one finding a concept, in their order.
 * Any text is judged; a text without words misses everything. A plain text counts as heard for sure.
 * Never throws.
 */
export function judge(heard: string | Utterance, step: JudgeStep, pack: LanguagePack): Finding[] {
  return judgeHeard(
    typeof heard === 'string' ? { text: heard, confidence: 1, alternatives: [] } : heard,
    step,
    pack,
  );
}
