import type { Weight } from '../derive';
import type { VisitDigest } from './digest';
import { type Period, type PeriodKind, periodOf, periodsBetween } from './periods';
import type { Share } from './share';

/*
 * What a ward's visits say about its teaching. Each share counts visits, so that none counts a visit twice.
 */

export interface PointFigures {
  concept: string;
  /** Of the visits in which it was judged: not said at the first question, or not surely. */
  missed: Share;
  /** Of those, said the other way round. */
  opposite: number;
  /** Of the visits in which it was taught again: said then. */
  after: Share;
  /** Visits in which it was left for a person. */
  person: number;
  /** Answers until it was said, the middle of all visits in which it was (median); null: in none. */
  answers: number | null;
}

/** With more, those without visits are left out. */
const mostPeriods = 160;

/** In the order given. */
export function pointFigures(visits: readonly VisitDigest[], concepts: readonly string[]): PointFigures[] {
  const byConcept = grouped(
    visits.flatMap(({ points }) => points),
    ({ concept }) => concept,
  );
  return concepts.map((concept) => {
    const points = byConcept.get(concept) ?? [];
    const judged = points.filter(({ first }) => first !== null);
    const taught = points.filter(({ retaught }) => retaught > 0);
    return {
      concept,
      missed: share(judged, ({ first }) => first !== 'understood'),
      opposite: judged.filter(({ first }) => first === 'misconception').length,
      after: share(taught, ({ outcome }) => outcome === 'after-reteach'),
      person: points.filter(({ outcome }) => outcome === 'needs-person').length,
      answers: median(points.flatMap(({ tries }) => tries ?? [])),
    };
  });
}

export interface PeriodFigures extends Period {
  visits: number;
  missed: Share;
  after: Share;
}

/**
 * By week or month, gaps between them included, oldest first.
 * @param concept null: any of those that count. Then `missed` has the visits in which at least one was not said at
 * the first question, and `after` those in which all that was taught again was said then.
 */
export function overTime(
  visits: readonly VisitDigest[],
  kind: PeriodKind,
  concept: string | null,
  weights: Record<string, Weight>,
): PeriodFigures[] {
  const times = visits.map(({ at }) => Date.parse(at));
  if (times.length === 0) return [];
  const first = times.reduce((a, b) => Math.min(a, b));
  const last = times.reduce((a, b) => Math.max(a, b));
  const byPeriod = grouped(visits, ({ at }) => periodOf(at, kind).from);
  const periods = periodsBetween(first, last, kind);
  // A clock that once stood in another century must not make thousands of them.
  const shown = periods.length > mostPeriods ? periods.filter(({ from }) => byPeriod.has(from)) : periods;
  return shown.map((period) => {
    const mine = (byPeriod.get(period.from) ?? []).map(({ points }) =>
      points.filter((point) =>
        concept === null ? weights[point.concept] !== 'helpful' : point.concept === concept,
      ),
    );
    const judged = mine.map((points) => points.filter(({ first }) => first !== null)).filter(some);
    const taught = mine.map((points) => points.filter(({ retaught }) => retaught > 0)).filter(some);
    return {
      ...period,
      visits: mine.length,
      missed: share(judged, (points) => points.some(({ first }) => first !== 'understood')),
      after: share(taught, (points) => points.every(({ outcome }) => outcome === 'after-reteach')),
    };
  });
}

function grouped<T>(all: readonly T[], by: (one: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const one of all) {
    const group = groups.get(by(one));
    if (group) group.push(one);
    else groups.set(by(one), [one]);
  }
  return groups;
}

const some = (list: readonly unknown[]) => list.length > 0;

const share = <T>(all: readonly T[], counts: (one: T) => boolean): Share => ({
  k: all.filter(counts).length,
  n: all.length,
});

function median(values: number[]): number | null {
  if (values.length === 0) return null;
  const sorted = values.sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
