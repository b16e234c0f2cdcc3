import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { languagePack } from '../../src/scoring';
import { normalize, type Token } from '../../src/scoring/normalize';
import { findNumbers } from '../../src/scoring/numbers';
import { findQuantities, type QuantitySaid } from '../../src/scoring/quantity';
import { against } from './figures';

/*
 * npm run -s bench:quantities
 * Numbers, durations and frequencies against cases of other people:
 * Recognizers-Text (MIT) number, duration and set specs; duckling (BSD-3); the dose sentences of parsigs (MIT)
 * and of Public Health Scotland's dose_instruction_parser (MIT).
 * Loose amounts ("a few minutes") are right when they are found as loose: no value is compared.
 * What is out of scope is decided by rules over the case and its gold, before anything is read.
 */

const folder = fileURLToPath(new URL('../../../shared/datasets/numbers/', import.meta.url));
export const dataIsThere = (): boolean => existsSync(folder);

export interface Outcome {
  set: string;
  cases: number;
  inScope: number;
  right: number;
  /** Kind of input -> how many cases of it were left out. */
  out: Record<string, number>;
  wrong: string[];
}
export const share = ({ right, inScope }: Pick<Outcome, 'right' | 'inScope'>): number => right / inScope;

/** The first rule that fits names why a case is out of scope. */
type Rules<Case> = [kind: string, fits: (item: Case) => boolean][];

function run<Case>(
  set: string,
  cases: readonly Case[],
  rules: Rules<Case>,
  right: (item: Case) => boolean,
  show: (item: Case) => string,
): Outcome {
  const outcome: Outcome = { set, cases: cases.length, inScope: 0, right: 0, out: {}, wrong: [] };
  for (const item of cases) {
    const rule = rules.find(([, fits]) => fits(item));
    if (rule) {
      outcome.out[rule[0]] = (outcome.out[rule[0]] ?? 0) + 1;
      continue;
    }
    outcome.inScope++;
    if (right(item)) outcome.right++;
    else outcome.wrong.push(show(item));
  }
  return outcome;
}

const read = <T>(name: string): T =>
  JSON.parse(readFileSync(folder + name, 'utf8').replace(/^\uFEFF/, '')) as T;
const near = (a: number, b: number, within = 1e-9): boolean =>
  Math.abs(a - b) <= within * Math.max(1e-12, Math.abs(a), Math.abs(b));
const packs: Record<string, string> = { English: 'en', Spanish: 'es', French: 'fr' };

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

function numbersOf(text: string, pack: LanguagePack): number[] {
  return findNumbers(normalize(text, pack), pack).flatMap(({ low, high }) =>
    low === high ? [low] : [low, high],
  );
}

function numbers(language: string): Outcome {
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

const week = 604_800;
const sizes: Record<string, number> = {
  Y: 31_557_600,
  M: 2_629_800,
  W: week,
  D: 86_400,
  H: 3600,
  TM: 60,
  S: 1,
};

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

function entities(language: string, file: string, kind: 'duration' | 'frequency'): Outcome {
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

function distances(language: string): Outcome {
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

// --- dose sentences

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
const namedUnit: Record<string, number> = {
  Second: 1,
  Minute: 60,
  Hour: 3600,
  Day: 86_400,
  Week: week,
  Month: sizes.M!,
  Quarter: 3 * sizes.M!,
  Year: sizes.Y!,
};

const quantitiesOf = (text: string, pack: LanguagePack): QuantitySaid[] =>
  findQuantities(normalize(text, pack), pack);
const shown = (list: readonly QuantitySaid[]): string =>
  list.map((said) => `${said.kind} ${said.low}..${said.high}`).join(', ');

/** Frequency and duration must both be right, and be absent where the gold has none. */
function parsigs(): Outcome {
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

function scottish(): Outcome {
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

// --- duckling

interface Duckling {
  dim: string;
  lang: string;
  expect: string;
  text: string;
}

function duckling(dim: 'Numeral' | 'Duration', lang: string): Outcome {
  const pack = languagePack(lang.toLowerCase())!;
  const all = read<Duckling[]>('duckling_vectors.json').filter(
    (item) => item.dim === dim && item.lang === lang,
  );
  const value = ({ expect }: Duckling): number => {
    const [, number = '', unit = ''] = /^\w+ \(?(-?[\d_.e]+)(?: (\w+))?/.exec(expect) ?? [];
    return Number(number.replaceAll('_', '')) * (dim === 'Duration' ? (namedUnit[unit] ?? Number.NaN) : 1);
  };
  const rules: Rules<Duckling> = [
    ['below zero', ({ expect }) => expect.includes('(-')],
    ['figures glued to letters', ({ text }) => /\d[A-Za-z]/.test(text)],
    ['dozens', ({ text }) => /doz/i.test(text)],
    ['Indian number words', ({ text }) => /lakh|lkh|lac\b|crore|krore|koti|\b[ck]r\b|\d l$/i.test(text)],
    ['fractions other than halves and quarters', ({ text }) => /\d\/(?![24]\b)\d/.test(text)],
    ['quote marks as units', ({ text }) => /\d['"]/.test(text)],
    ['quarters of a year', ({ expect }) => expect.includes('Quarter')],
  ];
  return run<Duckling>(
    `duckling ${lang} ${dim.toLowerCase()}`,
    all,
    rules,
    (item) => {
      const negative = item.expect.startsWith('NEGATIVE');
      if (dim === 'Numeral') {
        const found = numbersOf(item.text, pack);
        return negative
          ? found.length === 0
          : found.length > 0 && found.every((each) => near(each, value(item)));
      }
      const found = quantitiesOf(item.text, pack).filter((said) => said.kind === 'duration');
      if (negative) return found.length === 0;
      // "a month and a half" is 45 days there, a month and a half of mean length here.
      return found.length === 1 && near(found[0]!.low, value(item), 0.02);
    },
    (item) =>
      `${item.text} -> ${dim === 'Numeral' ? numbersOf(item.text, pack) : shown(quantitiesOf(item.text, pack))} (${item.expect})`,
  );
}

/** Outcomes that have a threshold, by the group it holds for. */
export interface Measured {
  groups: { name: string; least: number; outcomes: Outcome[] }[];
  beside: Outcome[];
}

export function measure(): Measured {
  const recognizers = (language: string): Outcome[] => [
    numbers(language),
    entities(language, 'DurationExtractor', 'duration'),
    entities(language, 'DurationParser', 'duration'),
    entities(language, 'SetExtractor', 'frequency'),
    entities(language, 'SetParser', 'frequency'),
  ];
  return {
    groups: [
      { name: 'English', least: 0.9, outcomes: recognizers('English') },
      { name: 'Spanish', least: 0.8, outcomes: recognizers('Spanish') },
      { name: 'French', least: 0.8, outcomes: recognizers('French') },
      { name: 'dose sentences: parsigs', least: 0.85, outcomes: [parsigs()] },
      { name: 'dose sentences: Scotland', least: 0.85, outcomes: [scottish()] },
    ],
    beside: [
      ...Object.keys(packs).map(distances),
      ...(['EN', 'ES', 'FR'] as const).flatMap((lang) => [
        duckling('Numeral', lang),
        duckling('Duration', lang),
      ]),
    ],
  };
}

/** Cases, in scope and right of several sets together. */
export const together = (
  outcomes: readonly Outcome[],
): { cases: number; inScope: number; right: number } => ({
  cases: outcomes.reduce((sum, { cases }) => sum + cases, 0),
  inScope: outcomes.reduce((sum, { inScope }) => sum + inScope, 0),
  right: outcomes.reduce((sum, { right }) => sum + right, 0),
});

function main(): void {
  if (!dataIsThere()) {
    console.log('skipped: ../shared/datasets is not there');
    return;
  }
  const all = process.argv.includes('--wrong');
  const percent = (value: number): string => `${(value * 100).toFixed(1).padStart(5)} %`;
  const line = (name: string, sum: { cases: number; inScope: number; right: number }): void =>
    console.log(
      `${name.padEnd(46)} cases ${String(sum.cases).padStart(4)}  in scope ${String(sum.inScope).padStart(4)}  right ${String(sum.right).padStart(4)}  ${percent(share(sum))}`,
    );
  const print = (outcome: Outcome): void => {
    line(outcome.set, outcome);
    for (const [kind, count] of Object.entries(outcome.out)) console.log(`    out: ${count} ${kind}`);
    if (all) for (const text of outcome.wrong) console.log(`    not right: ${text}`);
  };
  const { groups, beside } = measure();
  for (const { name, least, outcomes } of groups) {
    for (const outcome of outcomes) print(outcome);
    if (outcomes.length > 1) line(`${name}, together`, together(outcomes));
    against(`quantities, ${name}`, 100 * share(together(outcomes)), '%', { atLeast: 100 * least });
    console.log('');
  }
  console.log('beside:');
  for (const outcome of beside) print(outcome);
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) main();
