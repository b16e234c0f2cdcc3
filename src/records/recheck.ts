import type { ModuleFile } from '../../phrasebanks/schema';
import type { ConceptRecord, Outcome, VisitRecord } from './derive';
import type { VisitStart } from './types';

/*
 * A re-check: a short visit that asks once more what was missed in an earlier one. That it comes 48 to 72 hours after is
 * common practice.
 */

/** Hours after the end of a visit. */
export const recheckAfter = { least: 48, most: 72 } as const;

/** Points worth asking once more: left open, or said only after teaching again. In the order of teaching. */
export const missedIn = ({ steps }: Pick<VisitRecord, 'steps'>): ConceptRecord[] =>
  steps
    .flatMap(({ concepts }) => concepts)
    .filter(({ outcome }) => outcome === 'needs-person' || outcome === 'after-reteach');

/** What is entered anew for a re-check; all else is as it was. */
export type RecheckEntry = Pick<VisitStart, 'visit' | 'bed' | 'staff' | 'readiness'> & {
  /** Of `missedIn`. */
  concepts: readonly string[];
};

/**
 * The start of a re-check of a visit. `module`: as it is taught today; a point that it has no more is left out.
 * Throws with a sentence when there is nothing to ask, or the beginning of the visit is lost.
 */
export function recheckOf(
  record: VisitRecord,
  module: ModuleFile,
  { concepts, visit, bed, staff, readiness }: RecheckEntry,
): VisitStart {
  const { start, endedAt } = record;
  if (!start || !record.visit || !endedAt)
    throw new Error(
      'The beginning of the earlier visit could not be read, so its points cannot be checked again.',
    );
  const asked = missedIn(record).filter(({ concept }) => concepts.includes(concept));
  const steps = module.steps.filter((step) =>
    step.concepts.some(({ id }) => asked.some(({ concept }) => concept === id)),
  );
  const known = steps.flatMap((step) => step.concepts.map(({ id }) => id));
  const points = asked.flatMap(({ concept, outcome }) =>
    known.includes(concept) ? [{ concept, before: outcome }] : [],
  );
  if (points.length === 0)
    throw new Error(
      'Choose at least one point to ask again. (A point that is not taught any more cannot be asked.)',
    );
  const { sitting: _, readiness: __, recheck: ___, recordNumber: ____, ...same } = start;
  return {
    ...same,
    visit,
    bed,
    staff,
    ...(readiness ? { readiness } : {}),
    ...(record.recordNumber ? { recordNumber: record.recordNumber } : {}),
    moduleVersion: module.version,
    steps: steps.map(({ id }) => id),
    recheck: {
      of: record.visit,
      at: endedAt,
      points,
      showMe: record.showMe.flatMap(({ point, shown }) => (shown === false ? [point] : [])),
    },
  };
}

export interface ThenAndNow {
  concept: string;
  label: string;
  before: Outcome;
  now: Outcome;
}

/** What came of each point in the earlier visit, and in this one; empty when this is no re-check. */
export function thenAndNow({ start, steps }: Pick<VisitRecord, 'start' | 'steps'>): ThenAndNow[] {
  const all = steps.flatMap(({ concepts }) => concepts);
  return (start?.recheck?.points ?? []).map(({ concept, before }) => {
    const found = all.find((each) => each.concept === concept);
    return { concept, label: found?.label ?? concept, before, now: found?.outcome ?? 'not-asked' };
  });
}
