import * as z from 'zod/mini';
import type { OutboxRow, VisitHeader } from './types';

const day = 24 * 3600 * 1000;

/** How far the device's clock is believed. */
export type Clock =
  /** Visits may be counted by it. */
  | 'right'
  /** It stands before something that is known to have happened. */
  | 'behind'
  /** It stands so far behind nothing, but so long after all that is known that it may have jumped. */
  | 'far';

/** A clock that is a little behind is common: it was set right by a network since. */
const slack = 10 * 60 * 1000;
/** Without a sign of life for longer than a long weekend, the clock has to prove itself, or staff say that it is right. */
export const quietDays = 4;
/** It has proved itself when the page ran for a day and the clock went on by as much. */
const proof = { ran: day, off: slack };

const time = z.iso.datetime();

/** What is remembered of the clock. */
export const clockSchema = z.strictObject({
  /** When it was last believed. */
  seen: z.nullable(time),
  /** Staff have said that the clock is right although something is dated later: from when, and up to what date. */
  mended: z.nullable(z.tuple([time, time])),
  /** When it stood behind something that had happened: visits of these times have dates that are too old. */
  wrong: z.array(z.tuple([time, time])),
});
export type ClockMemory = z.infer<typeof clockSchema>;
export const freshClock: ClockMemory = { seen: null, mended: null, wrong: [] };

const iso = (ms: number): string => new Date(ms).toISOString();
/** The clock is looked at every hour, so it was wrong for up to so long before and after, ms. */
const around = 2 * 3600 * 1000;

/** The newest of these times of the device, as far as they count; null: there are none. */
export function newestOf(times: readonly string[], { seen, mended }: ClockMemory): number | null {
  const counted = times.filter((at) => !mended || at <= mended[0] || at > mended[1]);
  const all = [...counted, ...(seen ? [seen] : [])].map((at) => Date.parse(at));
  return all.length > 0 ? Math.max(...all) : null;
}

/** What is remembered once it has been weighed. */
export function afterWeighing(memory: ClockMemory, clock: Clock, now: number): ClockMemory {
  if (clock === 'right') return { ...memory, seen: iso(now) };
  if (clock === 'far') return memory;
  const [from, to] = memory.wrong.at(-1) ?? ['', ''];
  const goesOn = iso(now - around) <= to && iso(now + around) >= from;
  const span: [string, string] = goesOn
    ? [iso(Math.min(now - around, Date.parse(from))), iso(Math.max(now + around, Date.parse(to)))]
    : [iso(now - around), iso(now + around)];
  return { ...memory, wrong: [...(goesOn ? memory.wrong.slice(0, -1) : memory.wrong), span].slice(-20) };
}

/** Staff say that the clock is right. */
export function mended(memory: ClockMemory, now: number, newest: number | null): ClockMemory {
  const later = newest !== null && newest > now;
  return { ...memory, seen: iso(now), mended: later ? [iso(now), iso(newest)] : memory.mended };
}

/** What the clock is weighed by, all in ms since 1970 but `ran` and `went`. */
export interface Signs {
  now: number;
  /** The newest thing known on this device: an entry of a visit or of the trail, or when the clock was last believed. */
  newest: number | null;
  /** How long this page has run by a clock that nobody sets, and how far the device's clock went on meanwhile, ms. */
  ran: number;
  went: number;
}

export function weighClock({ now, newest, ran, went }: Signs): Clock {
  if (newest === null) return 'right';
  if (now < newest - slack) return 'behind';
  if (now - newest <= quietDays * day) return 'right';
  return ran >= proof.ran && Math.abs(went - ran) <= proof.off ? 'right' : 'far';
}

/**
 * Visits whose time is over: finished, and their last entry longer ago than so many days.
 * @returns in `waiting` those that have to be filed first, and in `misdated` those that ended while the clock was
 *   wrong; both stay
 */
export function overdue(
  headers: readonly VisitHeader[],
  outbox: readonly OutboxRow[],
  now: number,
  keepDays: number,
  { wrong }: Pick<ClockMemory, 'wrong'> = freshClock,
): { erase: string[]; waiting: string[]; misdated: string[] } {
  const unfiled = new Set(outbox.filter(({ state }) => state !== 'filed').map(({ visit }) => visit));
  const over = headers.filter(
    ({ finished, lastAt }) => finished !== null && now - Date.parse(lastAt) > keepDays * day,
  );
  const wrongly = (at: string) => wrong.some(([from, to]) => at >= from && at <= to);
  const result = { erase: [] as string[], waiting: [] as string[], misdated: [] as string[] };
  for (const { visit, lastAt } of over)
    result[unfiled.has(visit) ? 'waiting' : wrongly(lastAt) ? 'misdated' : 'erase'].push(visit);
  return result;
}
