import { describe, expect, it } from 'vitest';
import { languagePack } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';
import { findQuantities, fits } from '../../src/scoring/quantity';
import { outside } from './outside';

const en = languagePack('en')!;
const find = (text: string) => findQuantities(normalize(text, en), en);
const minute = 60;
const week = 604_800;

describe('quantities', () => {
  it.each([
    ['ten minutes', 'duration', 600, 600],
    ['10 minutes', 'duration', 600, 600],
    ['half an hour', 'duration', 1800, 1800],
    ['a minute', 'duration', 60, 60],
    ['a minute and a half', 'duration', 90, 90],
    ['fifteen to thirty minutes', 'duration', 15 * minute, 30 * minute],
    ['two weeks', 'duration', 2 * week, 2 * week],
    ['a fortnight', 'duration', 2 * week, 2 * week],
    ['I count slowly to ten', 'duration', 10, 10],
    ['once a week', 'frequency', 1, 1],
    ['one time in the week', 'frequency', 1, 1],
    ['every week', 'frequency', 1, 1],
    ['weekly', 'frequency', 1, 1],
    ['on Sundays', 'frequency', 1, 1],
    ['every other week', 'frequency', 0.5, 0.5],
    ['every two weeks', 'frequency', 0.5, 0.5],
    ['twice a day', 'frequency', 14, 14],
    ['every day', 'frequency', 7, 7],
    ['every other day', 'frequency', 3.5, 3.5],
    ['ten feet', 'distance', 10, 10],
    ['fifty foot', 'distance', 50, 50],
  ])('reads "%s"', (text, kind, low, high) => {
    const found = find(text).filter((quantity) => quantity.kind === kind);
    expect(found).toHaveLength(1);
    expect(found[0]!.low).toBeCloseTo(low, 6);
    expect(found[0]!.high).toBeCloseTo(high, 6);
  });

  // The international foot is 0.3048 m exactly (1959 agreement; NIST SP 811).
  it('turns meters into feet', () => {
    expect(find('three meters')[0]!.low).toBeCloseTo(3 / 0.3048, 9);
  });

  it('lets the last number stand when the speaker corrects it', () => {
    expect(find('ten, no wait, five minutes').map((item) => item.low)).toEqual([300]);
    expect(find('I wait five... not five, one. One minute.').map((item) => item.low)).toEqual([1, 60]);
  });

  it('knows what fits', () => {
    const hold = { kind: 'duration', value: 10, min: 5, max: 10, unit: 'second' } as const;
    const said = (text: string) => fits(find(text)[0]!, hold, true);
    expect(said('ten seconds')).toBe(true);
    expect(said('five to ten seconds')).toBe(true);
    expect(said('two seconds')).toBe(false);
    expect(said('a minute')).toBe(false);
    expect(said('a few seconds')).toBeNull();
    const change = { kind: 'interval', value: 14, min: 7, max: 30, unit: 'day' } as const;
    expect(fits(find('every two weeks')[0]!, change, false)).toBe(true);
    expect(fits(find('twice a month')[0]!, change, false)).toBe(true);
    expect(fits(find('every day')[0]!, change, false)).toBe(false);
  });

  // Recognizers-Text (MIT), Specs/DateTime/English/DurationParser.json: one duration of seconds to weeks.
  it('agrees with Recognizers-Text on plain durations', () => {
    const text = outside('numbers/recognizers/English/DurationParser.json');
    if (!text) return;
    const specs = JSON.parse(text) as {
      Input: string;
      Results: { Text: string; Value?: { Timex: string; FutureResolution?: { duration?: string } } }[];
    }[];
    let all = 0;
    let right = 0;
    for (const { Input, Results } of specs) {
      const [only] = Results;
      const expected = only?.Value?.FutureResolution?.duration;
      if (Results.length !== 1 || !expected || !/^P(T\d+[HMS]|\d+[DW])$/.test(only.Value!.Timex)) continue;
      // Written short forms ("3h", "3-day"), and a day without a number, are not read.
      if (
        /\d ?[a-z]\b|\d[a-z]|-|another|full|whole|business|all |decade|fortnight|couple|few|several/i.test(
          only.Text,
        )
      )
        continue;
      all++;
      if (find(Input).some((item) => item.kind === 'duration' && Math.abs(item.low - Number(expected)) < 1))
        right++;
    }
    console.info(`Recognizers-Text durations: ${right} of ${all}`);
    expect(all).toBeGreaterThan(3);
    expect(right / all).toBeGreaterThan(0.8);
  });
});
