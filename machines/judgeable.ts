import type { Finding } from '../src/scoring/types';
import { needed, type StepProgress } from './progress';
import { conceptsOf, type Words } from './script';

/** A question that is open. */
interface Asking {
  progress: StepProgress;
  words: Words;
}

/** Asked concepts, and helpful ones not said yet: those are credited whenever they come. */
export const judgeable = ({ progress: p, words: { lesson } }: Asking): string[] => {
  const must = needed(lesson, p.step);
  const helpful = conceptsOf(lesson, p.step)
    .map((c) => c.id)
    .filter((c) => !must.includes(c) && p.findings.find((f) => f.concept === c)?.label !== 'understood');
  return [...new Set([...p.asked, ...helpful])];
};

/** Findings about what was not asked count only when they add something. */
export const worthKeeping = ({ progress: p }: Asking, findings: readonly Finding[]): Finding[] =>
  findings.filter(
    (f) => p.asked.includes(f.concept) || f.label === 'understood' || f.label === 'misconception',
  );

/** In place of a judgement that never came. */
export const unjudgedFindings = ({ progress: p }: Asking, why: string): Finding[] =>
  p.asked.map((concept) => ({
    concept,
    label: 'missed',
    confidence: 0,
    evidence: [],
    reason: `The answer could not be judged (${why}); a person has to listen to it.`,
  }));
