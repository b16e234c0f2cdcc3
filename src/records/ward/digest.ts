import { type Outcome, unsureBelow, type VisitRecord } from '../derive';
import type { VisitHeader } from '../types';

/*
 * What the figures of a ward need of one visit, and nothing else: no names, no words that were said.
 */

/** What the first answer said about a point. 'unsure': it may have been understood, and nobody knows. */
export const firsts = ['understood', 'unsure', 'partial', 'missed', 'misconception'] as const;
export type First = (typeof firsts)[number];

export interface PointDigest {
  concept: string;
  /** null: never judged. */
  first: First | null;
  outcome: Outcome;
  /** Answers until it was said; null: it was not. */
  tries: number | null;
  /** Times it was taught again. */
  retaught: number;
}

interface Known {
  visit: string;
  /** Events in its log when this was made: with more, it is made anew. */
  events: number;
}

/** A visit that has ended. */
export interface VisitDigest extends Known {
  at: string;
  module: string;
  version: string;
  language: string;
  /** Only what an earlier visit had missed was asked. */
  recheck: boolean;
  points: PointDigest[];
}

/** One that cannot be counted, and why. */
export interface NoDigest extends Known {
  why: string;
}

export type Digest = VisitDigest | NoDigest;

/** @param header of the visit as it was when its log was read */
export function digestOf({ visit, next, startedAt }: VisitHeader, { start, steps }: VisitRecord): Digest {
  if (!start) return { visit, events: next, why: 'its beginning is lost' };
  const points = new Map<string, PointDigest>();
  for (const { concept, first, outcome, triesUntilUnderstood, retaught } of steps.flatMap(
    (step) => step.concepts,
  )) {
    // A point that came up in another step as well counts where it was judged.
    if (points.get(concept)?.first) continue;
    const unsure = first?.label === 'understood' && first.confidence < unsureBelow;
    points.set(concept, {
      concept,
      first: unsure ? 'unsure' : (first?.label ?? null),
      outcome,
      tries: triesUntilUnderstood,
      retaught,
    });
  }
  return {
    visit,
    events: next,
    at: startedAt,
    module: start.module,
    version: start.moduleVersion,
    language: start.language,
    recheck: start.recheck !== undefined,
    points: [...points.values()],
  };
}
