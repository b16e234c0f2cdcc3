import type { VisitEvent } from './types';

/** Whole minutes between two times, ISO 8601. */
export function minutesBetween(from: string, to: string): number {
  // A clock that was set back must not make a negative visit.
  return Math.max(0, Math.round((Date.parse(to) - Date.parse(from)) / 60_000));
}

/** Whole minutes between a pause and its end, of all pauses of a visit. */
export function pausedMinutes(log: readonly VisitEvent[]): number {
  let total = 0;
  let since: number | null = null;
  for (const { at, fact } of log) {
    if (fact.type === 'paused') since ??= Date.parse(at);
    else if (since !== null) {
      total += Math.max(0, Date.parse(at) - since);
      if (fact.type === 'resumed' || fact.type === 'finished') since = null;
      else since = Date.parse(at);
    }
  }
  return Math.round(total / 60_000);
}
