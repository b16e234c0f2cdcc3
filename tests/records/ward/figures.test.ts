import { describe, expect, test } from 'vitest';
import type { PointDigest, VisitDigest } from '../../../src/records/ward/digest';
import { overTime, pointFigures } from '../../../src/records/ward/figures';

const point = (
  concept: string,
  first: PointDigest['first'],
  outcome: PointDigest['outcome'],
  tries: number | null,
  retaught = 0,
): PointDigest => ({ concept, first, outcome, tries, retaught });

/** By the clock of this device, at noon. */
const on = (month: number, day: number) => new Date(2026, month - 1, day, 12).toISOString();

const visit = (at: string, ...points: PointDigest[]): VisitDigest => ({
  visit: '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11',
  events: 9,
  at,
  module: 'lamp',
  version: '1.0.0',
  language: 'en',
  recheck: false,
  points,
});

const said = (concept: string) => point(concept, 'understood', 'first-try', 1);
const helped = (concept: string, tries = 2) => point(concept, 'missed', 'after-reteach', tries, tries - 1);
const left = (concept: string) => point(concept, 'misconception', 'needs-person', null, 2);
const unasked = (concept: string) => point(concept, null, 'not-asked', null);

const visits = [
  visit(on(3, 2), said('shake'), helped('rinse'), point('extra', 'missed', 'not-said', null)),
  visit(on(3, 29), helped('shake', 3), helped('rinse'), unasked('extra')),
  visit(on(3, 31), left('shake'), said('rinse'), point('extra', 'understood', 'first-try', 1)),
  visit(on(5, 4), point('shake', 'unsure', 'needs-person', null), unasked('rinse'), unasked('extra')),
];

describe('the figures of points', () => {
  test('count visits, as by hand', () => {
    expect(pointFigures(visits, ['rinse', 'shake', 'extra', 'never'])).toEqual([
      // Missed on 2 and 29 March, said on the 31st, not asked in May.
      { concept: 'rinse', missed: { k: 2, n: 3 }, opposite: 0, after: { k: 2, n: 2 }, person: 0, answers: 2 },
      // Said, missed, the other way round, unsure; taught again twice, once with success. Answers 1 and 3.
      { concept: 'shake', missed: { k: 3, n: 4 }, opposite: 1, after: { k: 1, n: 2 }, person: 2, answers: 2 },
      { concept: 'extra', missed: { k: 1, n: 2 }, opposite: 0, after: { k: 0, n: 0 }, person: 0, answers: 1 },
      {
        concept: 'never',
        missed: { k: 0, n: 0 },
        opposite: 0,
        after: { k: 0, n: 0 },
        person: 0,
        answers: null,
      },
    ]);
  });
});

describe('the figures over time', () => {
  const weights = { shake: 'critical', rinse: 'key', extra: 'helpful' } as const;

  test('of a point have a share a month, months without visits included', () => {
    expect(overTime(visits, 'month', 'shake', weights)).toEqual([
      { from: '2026-03-01', visits: 3, missed: { k: 2, n: 3 }, after: { k: 1, n: 2 } },
      { from: '2026-04-01', visits: 0, missed: { k: 0, n: 0 }, after: { k: 0, n: 0 } },
      { from: '2026-05-01', visits: 1, missed: { k: 1, n: 1 }, after: { k: 0, n: 0 } },
    ]);
  });

  test('have weeks from Monday on', () => {
    // 2026-03-02 is a Monday, the 29th a Sunday, the 31st a Tuesday, 4 May a Monday.
    const weeks = overTime(visits, 'week', 'rinse', weights);
    expect(weeks.map(({ from, visits }) => [from, visits])).toEqual([
      ['2026-03-02', 1],
      ['2026-03-09', 0],
      ['2026-03-16', 0],
      ['2026-03-23', 1],
      ['2026-03-30', 1],
      ['2026-04-06', 0],
      ['2026-04-13', 0],
      ['2026-04-20', 0],
      ['2026-04-27', 0],
      ['2026-05-04', 1],
    ]);
    expect(weeks.at(-1)).toMatchObject({ missed: { n: 0 } });
  });

  test('of all points count a visit once, and helpful extras not at all', () => {
    expect(overTime(visits, 'month', null, weights)).toMatchObject([
      // Each of the three missed something; two of the three were taught again with full success.
      { missed: { k: 3, n: 3 }, after: { k: 2, n: 3 } },
      { visits: 0 },
      { missed: { k: 1, n: 1 }, after: { k: 0, n: 0 } },
    ]);
    const fine = visit(on(6, 1), said('shake'), said('rinse'), point('extra', 'missed', 'not-said', null));
    expect(overTime([fine], 'month', null, weights)).toMatchObject([{ missed: { k: 0, n: 1 } }]);
  });

  test('go over the end of a year and over the days on which clocks are set', () => {
    const across = [
      visit(new Date(2025, 9, 20, 12).toISOString()),
      visit(new Date(2026, 3, 1, 12).toISOString()),
    ];
    expect(overTime(across, 'month', null, {}).map(({ from }) => from)).toEqual(
      ['2025-10', '2025-11', '2025-12', '2026-01', '2026-02', '2026-03', '2026-04'].map(
        (month) => `${month}-01`,
      ),
    );
    const weeks = overTime(across, 'week', null, {}).map(({ from }) => from);
    expect(weeks).toHaveLength(24);
    for (const from of weeks) expect(new Date(`${from}T12:00`).getDay()).toBe(1);
  });

  test('of nothing are none, and a clock that once was wrong makes no thousand of them', () => {
    expect(overTime([], 'month', null, {})).toEqual([]);
    const lost = [visit('1970-01-01T12:00:00Z', said('shake')), visits[0]!];
    expect(overTime(lost, 'week', null, {})).toMatchObject([
      { visits: 1 },
      { from: '2026-03-02', visits: 1 },
    ]);
  });
});
