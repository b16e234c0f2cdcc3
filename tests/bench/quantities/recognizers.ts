import { languagePack } from '../../../src/scoring';
import { normalize, type Token } from '../../../src/scoring/normalize';
import { findQuantities, type QuantitySaid } from '../../../src/scoring/quantity';
import {
  namedUnit,
  near,
  numbersOf,
  type Outcome,
  packs,
  quantitiesOf,
  type Rules,
  read,
  run,
  shown,
  week,
} from './cases';

/* Recognizers-Text (MIT): number, duration, set and dimension specs. */

interface Spec {
  Input: string;
  Results: {
    Text: string;
    Start?: number;
    Length?: number;
    Resolution?: { value?: string | null; subtype?: string; unit?: string };
    Value?: { Timex?: string };
  }[];
}

// --- numbers

const halfOrQuarter =
  /\b(half|quarters?|fourths?|medi[oa]s?|mitad|cuartos?|demie?|quarts?|moiti[eé])\b|\d\s?\/\s?[24](?!\d)|[½¼¾]/iu;
const numberRules: Rules<Spec> = [
  ['figures glued to letters (10k, 29km, SCP-173)', ({ Input }) => /\d\p{L}|\p{L}-?\d/u.test(Input)],
  ['powers', ({ Results }) => Results.some((item) => item.Resolution?.subtype === 'power')],
  [
    'below zero',
    ({ Input, Results }) =>
      Results.some((item) => /^-/.test(item.Resolution?.value ?? '')) || /^-\d/.test(Input.trim()),
  ],
  ['dozens', ({ Input }) => /\bdo?zs?\b|dozens?|dozs|docenas?|douzaines?/i.test(Input)],
  ['Indian number words (lakh, crore)', ({ Input }) => /lakh|crore/i.test(Input)],
  ['letters for sizes after a space (2 k, 10 bln)', ({ Input }) => /\d\s+([kMGT]|bln|tln)\b/i.test(Input)],
  [
    'fractions other than halves and quarters',
    ({ Results }) =>
      Results.some((item) => item.Resolution?.subtype === 'fraction' && !halfOrQuarter.test(item.Text)),
  ],
  [
    'fractions of hundreds, thousands and millions',
    ({ Results }) =>
      Results.some(
        (item) => item.Resolution?.subtype === 'fraction' && amount(item.Resolution.value ?? '') >= 1000,
      ),
  ],
  ['millionths and smaller', ({ Input }) => /\b(mi|bi|tri)ll[io]+n(th|[eé]sim|i[eè]me)/iu.test(Input)],
  ['dates, addresses, telephone numbers', ({ Input }) => /\d+\/\d+\/\d+|\d+\.\d+\.\d+\.\d+|\+\d/.test(Input)],
];

/** The gold of French and Spanish has decimal commas. */
const amount = (value: string): number => Number(value.replace(',', '.'));

export function numbers(language: string): Outcome {
  const pack = languagePack(packs[language]!)!;
  return run(
    `Recognizers-Text ${language} number`,
    read<Spec[]>(`recognizers/${language}/NumberModel.json`),
    numberRules,
    ({ Input, Results }) => {
      const gold = Results.map((item) => amount(item.Resolution?.value ?? ''));
      // "half" and "un" alone are amounts only before a noun: found, and right only if the gold has them.
      const found = numbersOf(Input, pack);
      return found.length === gold.length && gold.every((value, k) => near(value, found[k]!));
    },
    ({ Input, Results }) =>
      `${Input} -> ${numbersOf(Input, pack)} (${Results.map((item) => item.Resolution?.value)})`,
  );
}

// --- durations and sets

const { Year, Month, Week, Day, Hour, Minute, Second } = namedUnit;
const sizes = { Y: Year, M: Month, W: Week, D: Day, H: Hour, TM: Minute, S: Second } as Record<
  string,
  number
>;

/** ISO 8601 duration -> seconds, a month and a year as in src/scoring/quantity; null: no such duration. */
function timexSeconds(timex: string): number | null {
  const match = /^P([^T]*)(?:T(.+))?$/.exec(timex);
  if (!match) return null;
  let total = 0;
  for (const [part, time] of [
    [match[1] ?? '', false],
    [match[2] ?? '', true],
  ] as const) {
    if (part.replace(/[\d.]+[YMWDHS]/g, '') !== '') return null;
    for (const [, size, unit] of part.matchAll(/([\d.]+)([YMWDHS])/g))
      total += Number(size) * sizes[time && unit === 'M' ? 'TM' : unit!]!;
  }
  return total;
}

const textSpan = (said: QuantitySaid, tokens: readonly Token[]): [number, number] => [
  tokens[said.start]!.start,
  tokens[said.end - 1]!.end,
];
/** Where a gold entity stands in its input. */
function goldSpan(item: Spec['Results'][number], input: string): [number, number] {
  const start = item.Start ?? input.toLowerCase().indexOf(item.Text.trim().toLowerCase());
  return [start, start + (item.Length ?? item.Text.length)];
}
/** Shared letters over all letters of two spans. */
function overlap(a: [number, number], b: [number, number]): number {
  const shared = Math.min(a[1], b[1]) - Math.max(a[0], b[0]);
  return shared <= 0 ? 0 : shared / (Math.max(a[1], b[1]) - Math.min(a[0], b[0]));
}

/** Times a week that a gold set stands for; null: it has no value. */
function rateOf(timex: string): number | null {
  if (timex.startsWith('T')) return 7;
  if (/^XXXX-WXX-\d/.test(timex)) return 1;
  const every = timexSeconds(timex);
  return every === null ? null : week / every;
}

const entityRules: Rules<Spec> = [
  ['business days', ({ Input }) => /business|ouvr[eé]/i.test(Input)],
  ['dates', ({ Results }) => Results.some((item) => /\d\/\d/.test(item.Text))],
];

/** Of a set with a clock time the gold spans both; durations have none. */
const setRules: Rules<Spec> = [
  ...entityRules,
  [
    'clock times',
    ({ Input, Results }) =>
      Results.some((item) => /^(T|XXXX\S*T)\d\d/.test(item.Value?.Timex ?? '')) ||
      (Results.some((item) => item.Value === undefined) &&
        /\d\s*[ap]m\b|\b(at|[aà]|a las)\s+\d|\d:\d|\bavant \d|\d heures? (chaque|tous|lundi|et|[aà])/iu.test(
          Input,
        )),
  ],
];

export function entities(language: string, file: string, kind: 'duration' | 'frequency'): Outcome {
  const pack = languagePack(packs[language]!)!;
  const found = (text: string): { said: QuantitySaid; span: [number, number] }[] => {
    const tokens = normalize(text, pack);
    return findQuantities(tokens, pack)
      .filter((said) => said.kind === kind)
      .map((said) => ({ said, span: textSpan(said, tokens) }));
  };
  return run(
    `Recognizers-Text ${language} ${file}`,
    read<Spec[]>(`recognizers/${language}/${file}.json`),
    kind === 'frequency' ? setRules : entityRules,
    ({ Input, Results }) => {
      const all = found(Input);
      return Results.every((item) => {
        const timex = item.Value?.Timex;
        const gold = goldSpan(item, Input);
        return all.some(({ said, span }) => {
          // Words such as "on" and "more than" may belong to the gold; half of it must be ours.
          if (overlap(span, gold) < 0.5) return false;
          if (timex === undefined) return true;
          const value = kind === 'duration' ? timexSeconds(timex) : rateOf(timex);
          return (
            value !== null && (said.vague || (near(said.low, value, 0.001) && near(said.high, value, 0.001)))
          );
        });
      });
    },
    ({ Input, Results }) =>
      `${Input} -> ${found(Input).map(({ said }) => `${said.low}..${said.high}`)} (${Results.map((item) => `${item.Text} ${item.Value?.Timex ?? ''}`)})`,
  );
}

// --- distances

/** Feet of the units that are read, by their names in the gold: the international foot is 0.3048 m (NIST SP 811). */
const lengths: Record<string, number> = { Foot: 1, Inch: 1 / 12, Meter: 1 / 0.3048 };
Object.assign(lengths, { Pie: 1, Pulgada: 1 / 12, Metro: 1 / 0.3048 });
Object.assign(lengths, { Pied: 1, Pouce: 1 / 12, 'M\u00e8tres': 1 / 0.3048 });

export function distances(language: string): Outcome {
  const pack = languagePack(packs[language]!)!;
  const found = (text: string): QuantitySaid[] =>
    quantitiesOf(text, pack).filter((said) => said.kind === 'distance');
  const isLength = (item: Spec['Results'][number]): boolean =>
    Object.hasOwn(lengths, item.Resolution?.unit ?? '') && item.Resolution?.value != null;
  return run(
    `Recognizers-Text ${language} dimension`,
    read<Spec[]>(`recognizers/${language}/DimensionModel.json`),
    [
      ['no length in feet, inches or meters', ({ Results }) => !Results.some(isLength)],
      [
        'figures glued to letters',
        ({ Results }) => Results.some((item) => isLength(item) && /\d\p{L}/u.test(item.Text)),
      ],
    ],
    ({ Input, Results }) =>
      Results.filter(isLength).every((item) =>
        found(Input).some((said) =>
          near(said.low, amount(item.Resolution!.value!) * lengths[item.Resolution!.unit!]!),
        ),
      ),
    ({ Input }) => `${Input.slice(0, 90)} -> ${shown(found(Input))}`,
  );
}
