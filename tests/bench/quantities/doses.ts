import { languagePack } from '../../../src/scoring';
import type { QuantitySaid } from '../../../src/scoring/quantity';
import { namedUnit, near, type Outcome, quantitiesOf, read, run, shown, week } from './cases';

/* Dose sentences of parsigs (MIT) and of Public Health Scotland's dose_instruction_parser (MIT). */

interface Parsigs {
  text: string;
  expect: {
    frequencyType?: string | null;
    interval?: number | null;
    times?: number | null;
    periodType?: string | null;
    periodAmount?: number | null;
  };
}
/** Frequency and duration must both be right, and be absent where the gold has none. */
export function parsigs(): Outcome {
  const pack = languagePack('en')!;
  return run<Parsigs>(
    'parsigs dose sentences',
    read('parsigs_vectors.json'),
    [],
    ({ text, expect }) => {
      const all = quantitiesOf(text, pack);
      const often = all.filter((said) => said.kind === 'frequency');
      const long = all.filter((said) => said.kind === 'duration');
      const { frequencyType, periodType } = expect;
      if (!frequencyType !== (often.length === 0) || !periodType !== (long.length === 0)) return false;
      const rate = frequencyType
        ? ((expect.times ?? 1) * week) / ((expect.interval ?? 1) * namedUnit[frequencyType]!)
        : 0;
      const length = periodType ? (expect.periodAmount ?? 1) * namedUnit[periodType]! : 0;
      return (
        often.every((said) => near(said.low, rate, 0.001) && near(said.high, rate, 0.001)) &&
        long.every((said) => near(said.low, length, 0.001) && near(said.high, length, 0.001))
      );
    },
    ({ text }) => `${text} -> ${shown(quantitiesOf(text, pack))}`,
  );
}

interface Scottish {
  test: string;
  tuple: string;
}
/** What each tested function of the other parser gives: the whole dose, the way it is spelled, ... */
const asksHowOften = new Set([
  'test_get_latin_frequency',
  'test_get_frequency_type',
  'test_add_frequency_multiple_units',
  'test_get_number_of_times',
  'test_get_hourly_adjusted_frequency',
  'test_get_frequency_info',
  'test_get_duration_info',
]);
/** "6 Hour" -> seconds. */
function timeSpan(text: string): number {
  const [, count = '', unit = ''] = /^(?:(\d+) )?(\w+)$/.exec(text) ?? [];
  return (count ? Number(count) : 1) * (namedUnit[unit] ?? Number.NaN);
}

export function scottish(): Outcome {
  const pack = languagePack('en')!;
  const textOf = (item: Scottish): string => /^"([^"]*)"/.exec(item.tuple)?.[1] ?? '';
  const goldOf = (item: Scottish): string => item.tuple.slice(textOf(item).length + 2).replace(/^,\s*/, '');
  return run<Scottish>(
    'Public Health Scotland dose phrases',
    read('phs_dose_vectors.json'),
    [
      ['forms, strengths and sizes of a dose', ({ test }) => !asksHowOften.has(test)],
      ['what one of their functions leaves to another (None)', (item) => goldOf(item) === 'None'],
      ['meals as times', (item) => /meal|food|lunch|breakfast/.test(textOf(item))],
      ['clock times', (item) => /\d ?[ap]m/.test(textOf(item))],
    ],
    (item) => {
      const gold = goldOf(item);
      const all = quantitiesOf(textOf(item), pack);
      const often = all.filter((said) => said.kind === 'frequency');
      const long = all.filter((said) => said.kind === 'duration');
      const is = (list: readonly QuantitySaid[], low: number, high: number): boolean =>
        list.length > 0 && list.every((said) => near(said.low, low, 0.001) && near(said.high, high, 0.001));
      const [, low, high, unit] = /^\(([\d.]+), ([\d.]+), (?:"([^"]+)"|None)\)$/.exec(gold) ?? [];
      switch (item.test) {
        case 'test_get_latin_frequency': {
          const rate = /Frequency\("(\w+)", ([\d.]+)\)/.exec(gold);
          if (!rate) return false;
          const value = (Number(rate[2]) * week) / timeSpan(rate[1]!);
          return is(often, value, value);
        }
        case 'test_get_frequency_type': {
          const span = timeSpan(gold.replaceAll('"', ''));
          const text = textOf(item);
          // A bare unit is no frequency by itself; it must be known as that unit.
          if (/^\w+$/.test(text) && often.length === 0)
            return is(quantitiesOf(`one ${text}`, pack), span, span);
          // Of "4 times a day" only the day is told.
          return (
            often.length > 0 && often.every(({ low: rate }) => near(((rate * span) / week) % 1, 0, 0.001))
          );
        }
        case 'test_add_frequency_multiple_units': {
          const span = timeSpan(gold.split(', ').at(-1)!.replaceAll('"', ''));
          // Of a range of intervals theirs keeps the first.
          return often.some((said) => near(said.high, week / span, 0.001));
        }
        case 'test_get_number_of_times':
          return often.some((said) => near(said.high / 7, Number(gold), 0.001));
        case 'test_get_duration_info':
          return is(long, Number(low) * timeSpan(unit!), Number(high) * timeSpan(unit!));
        default: {
          if (unit === undefined) {
            const counts = all.filter((said) => said.kind === 'number');
            // Their default is once when nothing is said.
            return counts.length === 0
              ? low === '1.0' && all.length === 0
              : is(counts, Number(low), Number(high));
          }
          const span = timeSpan(unit);
          // Theirs calls 4 weeks a month, and keeps the first of two intervals.
          const within = unit === 'Month' ? 0.1 : 0.001;
          const first = often[0];
          return (
            first !== undefined &&
            near(first.low, (Number(low) * week) / span, within) &&
            near(first.high, (Number(high) * week) / span, within)
          );
        }
      }
    },
    (item) => `${item.test} ${item.tuple} -> ${shown(quantitiesOf(textOf(item), pack))}`,
  );
}
