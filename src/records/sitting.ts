import type { ModuleFile } from '../../phrasebanks/schema';
import type { VisitRecord } from './derive';
import type { VisitStart } from './types';

/*
 * Several lessons in one sitting: each is a visit of its own, and its start names those still to come. So nothing but the
 * log has to remember them, whatever happens to the visit before.
 */

/** The lesson that comes after this visit; null: none. */
export const nextIn = (start: Pick<VisitStart, 'sitting'> | null) => start?.sitting?.toCome[0] ?? null;

/**
 * The start of the lesson that comes next, with all that was entered for the first one. `module`: of `nextIn`, as it is
 * taught today. `follows`: it begins as this one ends. Null when nothing is to come. Throws with a sentence when none of
 * its parts is taught any more.
 */
export function nextStart(
  { start, recordNumber }: Pick<VisitRecord, 'start' | 'recordNumber'>,
  module: ModuleFile,
  { visit, follows }: { visit: string; follows: boolean },
): VisitStart | null {
  const next = nextIn(start);
  if (!start?.sitting || !next) return null;
  const steps = module.steps.map(({ id }) => id).filter((id) => next.steps.includes(id));
  if (steps.length === 0) throw new Error(`None of the chosen parts of ${module.id} is taught any more.`);
  const { id, index, toCome } = start.sitting;
  return {
    ...start,
    visit,
    ...(recordNumber ? { recordNumber } : {}),
    module: module.id,
    moduleVersion: module.version,
    steps,
    particulars: next.particulars,
    sitting: { id, index: index + 1, follows, toCome: toCome.slice(1) },
  };
}

/** Has the lesson after this visit begun, among the starts of all visits? */
export const nextBegun = (
  { sitting }: Pick<VisitStart, 'sitting'>,
  all: readonly Pick<VisitStart, 'sitting'>[],
): boolean =>
  sitting !== undefined &&
  all.some((other) => other.sitting?.id === sitting.id && other.sitting.index === sitting.index + 1);
