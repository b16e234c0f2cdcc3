import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  afterWeighing,
  freshClock,
  mended,
  newestOf,
  overdue,
  quietDays,
  weighClock,
} from '../../src/records/retention';
import { freshRow } from '../../src/records/rows';
import type { VisitHeader } from '../../src/records/types';

const day = 86_400_000;
const now = Date.UTC(2026, 2, 31, 12);
const header = (visit: string, daysAgo: number, more: Partial<VisitHeader> = {}): VisitHeader => ({
  visit,
  practice: false,
  startedAt: new Date(now - daysAgo * day - 3_600_000).toISOString(),
  lastAt: new Date(now - daysAgo * day).toISOString(),
  finished: 'completed',
  next: 9,
  ...more,
});

const none = { erase: [], waiting: [], misdated: [] };

describe('visits whose time is over', () => {
  test('are those that ended longer ago than so many days, completed or stopped', () => {
    const headers = [
      header('young', 29.9),
      header('just', 30),
      header('old', 30.1),
      header('stopped', 40, { finished: 'stopped' }),
      header('practice', 31, { practice: true }),
    ];
    expect(overdue(headers, [], now, 30)).toEqual({
      erase: ['old', 'stopped', 'practice'],
      waiting: [],
      misdated: [],
    });
  });

  test('are never those that have not ended, however old', () => {
    expect(overdue([header('open', 900, { finished: null })], [], now, 1)).toEqual(none);
  });

  test('stay while they wait to be filed, and are told apart', () => {
    const rows = [
      freshRow('waits'),
      { ...freshRow('held'), state: 'held' as const },
      { ...freshRow('filed'), state: 'filed' as const },
      freshRow('young'),
    ];
    const headers = [header('waits', 40), header('held', 40), header('filed', 40), header('young', 2)];
    expect(overdue(headers, rows, now, 30)).toEqual({
      erase: ['filed'],
      waiting: ['waits', 'held'],
      misdated: [],
    });
  });
});

describe('the clock of the device', () => {
  const signs = { now, newest: now - day, ran: 0, went: 0 };

  test('is believed shortly after the newest thing that is known, and where nothing is', () => {
    expect(weighClock(signs)).toBe('right');
    expect(weighClock({ ...signs, newest: now + 60_000 })).toBe('right');
    expect(weighClock({ ...signs, newest: null })).toBe('right');
  });

  test('is not believed before something that has happened', () => {
    expect(weighClock({ ...signs, newest: now + day })).toBe('behind');
    expect(weighClock({ ...signs, newest: now + day, ran: 9 * day, went: 9 * day })).toBe('behind');
  });

  test('is not believed long after it, before it has gone on evenly for a day', () => {
    const jumped = { ...signs, newest: now - 400 * day };
    expect(weighClock(jumped)).toBe('far');
    expect(weighClock({ ...jumped, ran: day / 2, went: day / 2 })).toBe('far');
    expect(weighClock({ ...jumped, ran: day, went: day + 1_000 })).toBe('right');
    // It jumped while the page ran.
    expect(weighClock({ ...jumped, ran: day, went: 400 * day })).toBe('far');
  });

  test('that jumped erases nothing too early by more than the quiet days', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 5_000, noNaN: true }),
        fc.double({ min: 0, max: 4_000, noNaN: true }),
        fc.integer({ min: 1, max: 365 }),
        (jump, age, keepDays) => {
          const shown = now + jump * day;
          const clock = weighClock({ now: shown, newest: now, ran: 0, went: 0 });
          const { erase } = overdue([header('one', age)], [], shown, keepDays);
          if (clock === 'right' && erase.length > 0)
            expect(age).toBeGreaterThan(keepDays - quietDays - 0.001);
        },
      ),
    );
  });
});

describe('what is remembered of the clock', () => {
  const iso = (ms: number) => new Date(ms).toISOString();

  test('visits that ended while it stood behind are not erased for their old date', () => {
    const known = [iso(now)];
    const reset = Date.UTC(2001, 0, 1);
    expect(weighClock({ now: reset, newest: newestOf(known, freshClock), ran: 0, went: 0 })).toBe('behind');
    let memory = afterWeighing(freshClock, 'behind', reset);
    // Hour by hour, for a day.
    for (let hour = 1; hour <= 24; hour++) memory = afterWeighing(memory, 'behind', reset + hour * 3_600_000);
    expect(memory.wrong).toHaveLength(1);
    const during = { ...header('during', 0), lastAt: iso(reset + 20.5 * 3_600_000) };
    const headers = [during, { ...header('other', 0), lastAt: iso(Date.UTC(2003, 1, 1)) }];
    expect(overdue(headers, [], now, 30, memory)).toEqual({
      erase: ['other'],
      waiting: [],
      misdated: ['during'],
    });
  });

  test('staff can say that it is right although something is dated later, and it counts from there', () => {
    const known = [iso(now + 5_000 * day), iso(now - day)];
    const newest = newestOf(known, freshClock);
    expect(weighClock({ now, newest, ran: 0, went: 0 })).toBe('behind');
    const memory = mended(freshClock, now, newest);
    expect(newestOf(known, memory)).toBe(now);
    // What is dated later still is told again.
    expect(newestOf([...known, iso(now + 6_000 * day)], memory)).toBe(now + 6_000 * day);
    // And it goes on as ever: a jump from there is noticed.
    const later = afterWeighing(memory, 'right', now + 3 * day);
    expect(newestOf(known, later)).toBe(now + 3 * day);
    expect(weighClock({ now: now + 90 * day, newest: newestOf(known, later), ran: 0, went: 0 })).toBe('far');
  });

  test('a clock that stood still for long and is right is believed once staff have said so', () => {
    const memory = mended(freshClock, now, now - 100 * day);
    expect(memory.mended).toBe(null);
    expect(weighClock({ now: now + day, newest: newestOf([], memory), ran: 0, went: 0 })).toBe('right');
  });
});
