import type { Heard } from '../src/hearing/types';
import type { VisitFact, VisitStart } from '../src/records/types';
import type { Finding } from '../src/scoring/types';
import { conceptsOf } from './script';
import type { Lesson } from './types';

/** At most this many tries a step; then a person takes over. */
export const maxAttempts = 3;

/**
 * Where a step stands: what comes next in it.
 * 'judge': an answer is stored and not yet judged. 'decide': judged, and praise or re-teaching is due.
 * 'close': handed over.
 */
export type Stage = 'explain' | 'ask' | 'judge' | 'decide' | 'close' | 'done';

export interface StepProgress {
  step: string;
  started: boolean;
  stage: Stage;
  /** The try under way, or just judged. From 1. */
  attempt: number;
  /** Concepts of this try. */
  asked: string[];
  /** Latest finding of each concept. */
  findings: Finding[];
  /** The same before the last judgement. */
  before: Finding[];
  /** The answer that waits to be judged. */
  heard: Heard | null;
  mode: 'voice' | 'typed';
}

export type Place =
  | 'sound-check'
  | 'first-question'
  | 'teaching'
  | 'show-me'
  | 'summary'
  | 'any-question'
  | 'ended';

export const newStep = (lesson: Lesson, step: string): StepProgress => ({
  step,
  started: false,
  stage: 'explain',
  attempt: 1,
  asked: conceptsOf(lesson, step).map((c) => c.id),
  findings: [],
  before: [],
  heard: null,
  mode: 'voice',
});

/** Newer findings take the place of older ones; what was understood stays understood. */
export const merge = (older: readonly Finding[], newer: readonly Finding[]): Finding[] => {
  const kept = new Map(older.map((f) => [f.concept, f]));
  for (const f of newer) if (kept.get(f.concept)?.label !== 'understood') kept.set(f.concept, f);
  return [...kept.values()];
};

/** Concepts that must be understood (critical and key), in the module's order. */
export const needed = (lesson: Lesson, step: string): string[] =>
  conceptsOf(lesson, step)
    .filter((c) => c.weight !== 'helpful')
    .map((c) => c.id);

/** Needed concepts that are not understood yet. */
export const stillMissed = (lesson: Lesson, step: string, findings: readonly Finding[]): string[] =>
  needed(lesson, step).filter((c) => findings.find((f) => f.concept === c)?.label !== 'understood');

/** Where a step stands after these facts. */
export const stepProgress = (lesson: Lesson, facts: readonly VisitFact[], step: string): StepProgress => {
  const p = newStep(lesson, step);
  for (const fact of facts) if ('step' in fact && fact.step === step) Object.assign(p, after(p, fact));
  return p;
};

const after = (p: StepProgress, fact: VisitFact): Partial<StepProgress> => {
  switch (fact.type) {
    case 'step-started':
      return { started: true };
    case 'explained':
      return p.stage === 'explain' ? { stage: 'ask' } : {};
    case 'asked':
      return { stage: 'ask', attempt: fact.attempt, asked: fact.concepts, heard: null };
    case 'heard':
      // Tapped cards are not in the log as cards, so they are asked for again.
      return fact.confirmed === false || fact.mode === 'touch'
        ? { stage: 'ask', attempt: fact.attempt, heard: null }
        : { stage: 'judge', attempt: fact.attempt, heard: fact.heard as Heard, mode: fact.mode };
    case 'not-heard':
      return p.stage === 'judge' ? { stage: 'ask', heard: null } : {};
    case 'judged': {
      const findings = fact.findings as Finding[];
      return {
        stage: 'decide',
        attempt: fact.attempt,
        heard: null,
        before: p.findings,
        findings: merge(p.findings, findings),
      };
    }
    case 'retaught':
      return { stage: 'ask', attempt: fact.attempt + 1, asked: fact.concepts };
    case 'handed-over':
      return { stage: 'close' };
    case 'step-finished':
      return { stage: 'done' };
    default:
      return {};
  }
};

/** The first step of the visit that is not finished; null when all are. */
export const nextStep = (start: VisitStart, facts: readonly VisitFact[]): string | null =>
  start.steps.find((step) => !facts.some((f) => f.type === 'step-finished' && f.step === step)) ?? null;

/** Show-me points ticked; the latest tick counts. */
export const shownPoints = (facts: readonly VisitFact[]): Record<string, boolean> =>
  Object.fromEntries(facts.flatMap((f) => (f.type === 'show-me' ? [[f.point, f.shown] as const] : [])));

/** Where a visit goes on after an interruption. */
export const placeOf = (lesson: Lesson, start: VisitStart, facts: readonly VisitFact[]): Place => {
  if (facts.some((f) => f.type === 'finished')) return 'ended';
  const begun = facts.some((f) => f.type === 'step-started');
  const sounds = start.sitting?.follows || facts.some((f) => f.type === 'sound-checked');
  if (!begun && !sounds) return 'sound-check';
  if (nextStep(start, facts) !== null) return begun ? 'teaching' : 'first-question';
  const shown = shownPoints(facts);
  return lesson.module.showMe.some((point) => shown[point] === undefined) ? 'show-me' : 'summary';
};

/** What the whole visit has shown so far, in the order of the steps. */
export const outcome = (
  lesson: Lesson,
  start: VisitStart,
  facts: readonly VisitFact[],
): { understood: string[]; handedOver: string[] } => ({
  understood: start.steps.flatMap((step) => {
    const { findings } = stepProgress(lesson, facts, step);
    return conceptsOf(lesson, step)
      .map((c) => c.id)
      .filter((c) => findings.find((f) => f.concept === c)?.label === 'understood');
  }),
  handedOver: facts.flatMap((f) => (f.type === 'handed-over' ? f.concepts : [])),
});
