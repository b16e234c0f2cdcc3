import type { LanguagePack, TimeUnit } from '../../phrasebanks/languages/pack';
import type { Token } from './normalize';
import { findNumbers, type NumberSaid } from './numbers';
import { type PhraseFinder, phraseFinder } from './phrases';

export type QuantityKind = 'duration' | 'frequency' | 'distance' | 'number';

/** A quantity said in the answer. Durations in seconds, distances in feet, frequencies in times a week. */
export interface QuantitySaid {
  kind: QuantityKind;
  low: number;
  high: number;
  /** Token positions, end exclusive. */
  start: number;
  end: number;
  vague: boolean;
}

/** A month and a year are the mean ones of the Julian calendar: 365.25 days. */
export const seconds = {
  second: 1,
  minute: 60,
  hour: 3600,
  day: 86_400,
  week: 604_800,
  month: 2_629_800,
  year: 31_557_600,
} as const;
/** International foot and yard, 1959. */
export const feet = { foot: 1, meter: 1 / 0.3048, inch: 1 / 12, yard: 3 } as const;
export const perWeek = (unit: TimeUnit): number => seconds.week / seconds[unit];

export const own = <T>(table: Record<string, T>, word: string | undefined): T | undefined =>
  word !== undefined && Object.hasOwn(table, word) ? table[word] : undefined;

/** A unit of time that stands at a position: how many seconds, and where it ends. */
export interface UnitSaid {
  unit: TimeUnit;
  size: number;
  /** A part of the day: "morning". */
  part: boolean;
  end: number;
}

/** An answer with its numbers and units within reach. */
export interface Reading {
  tokens: readonly Token[];
  pack: LanguagePack;
  find: { every: PhraseFinder; per: PhraseFinder; idioms: PhraseFinder; outOf: PhraseFinder };
  word(k: number): string | undefined;
  /** The number that begins at a position. */
  numberAt(k: number): NumberSaid | undefined;
  unitAt(k: number): UnitSaid | null;
  /** A unit after a number that ends before k: "h" only after figures. */
  unitAfter(k: number): UnitSaid | null;
  /** Over "more", "of", "of an" between a number and its unit. */
  overFill(k: number): number;
  /** "times" */
  isTimes(k: number): boolean;
  /** Which day of the week, from 0; -1: none. */
  weekday(k: number): number;
}

/** A day or longer. */
export const isCalendar = (unit: UnitSaid): boolean => seconds[unit.unit] >= seconds.day;

interface Ready {
  find: Reading['find'];
  /** First letter and sorted letters -> the word: "tiems" is a slip of "times". */
  slips: Map<string, string>;
  weekdays: Map<string, number>;
}
const ready = new WeakMap<LanguagePack, Ready>();
const letters = (word: string): string => word[0] + [...word].sort().join('');
const shortestSlip = 3;
const longestSlip = 12;

function readyOf(pack: LanguagePack): Ready {
  let known = ready.get(pack);
  if (!known) {
    const slips = new Map<string, string>();
    for (const word of [...Object.keys(pack.durations), ...pack.times]) {
      if (word.length >= shortestSlip) slips.set(letters(word), word);
    }
    known = {
      find: {
        every: phraseFinder(pack.every),
        per: phraseFinder([...pack.every, ...pack.per]),
        idioms: phraseFinder(Object.keys(pack.idioms)),
        outOf: phraseFinder(pack.outOf),
      },
      slips,
      weekdays: new Map(
        pack.weekdays.flatMap(
          (day, rank) =>
            [
              [day, rank],
              [`${day}s`, rank],
            ] as const,
        ),
      ),
    };
    ready.set(pack, known);
  }
  return known;
}

/** Prepares an answer for the reading of its quantities. */
export function readingOf(tokens: readonly Token[], pack: LanguagePack): Reading {
  const { find, slips, weekdays } = readyOf(pack);
  const numbers = new Map(findNumbers(tokens, pack).map((number) => [number.start, number]));
  const word = (k: number): string | undefined => tokens[k]?.word;
  const meanings = new Map<string, string>();
  /** The word at k, or what it is a slip of. */
  const meant = (k: number): string | undefined => {
    const said = word(k);
    if (said === undefined || said.length < shortestSlip || said.length > longestSlip) return said;
    let meaning = meanings.get(said);
    if (meaning === undefined) {
      meaning = own(pack.durations, said) ? said : (slips.get(letters(said)) ?? said);
      if (meaning !== said && pack.common.includes(said)) meaning = said;
      meanings.set(said, meaning);
    }
    return meaning;
  };
  const isTimes = (k: number): boolean => pack.times.includes(meant(k) ?? '');
  /** "A second puff" is the next one and takes no time; "a ten second breath" does. */
  const isRank = (k: number): boolean =>
    own(pack.durations, word(k)) === 'second' &&
    pack.numbers.one.includes(word(k - 1) ?? '') &&
    pack.numbers.ranked.includes(word(k + 1) ?? '');
  const unitAt = (k: number): UnitSaid | null => {
    const one = meant(k);
    if (one === undefined) return null;
    const two = `${one} ${word(k + 1) ?? ''}`;
    const key = own(pack.durations, two) ? two : one;
    const unit = own(pack.durations, key);
    if (!unit || isRank(k)) return null;
    const size = seconds[unit] * (own(pack.multiples, key) ?? 1);
    return { unit, size, part: pack.dayParts.includes(key), end: k + (key === two ? 2 : 1) };
  };
  /** A unit after a number that ends before k: "h" only after figures. */
  const unitAfter = (k: number): UnitSaid | null => {
    const brief = /^[\d.,]/.test(word(k - 1) ?? '') ? own(pack.short, word(k)) : undefined;
    return brief ? { unit: brief, size: seconds[brief], part: false, end: k + 1 } : unitAt(k);
  };
  /** Over "more", "of", "of an" between a number and its unit. */
  const overFill = (k: number): number => {
    let next = k;
    while (next < k + 2 && pack.fill.includes(word(next) ?? '')) next++;
    return next > k && pack.numbers.one.includes(word(next) ?? '') && (unitAt(next + 1) || unitAt(next))
      ? next + 1
      : next;
  };
  const weekday = (k: number): number => weekdays.get(word(k) ?? '') ?? -1;
  return {
    tokens,
    pack,
    find,
    word,
    numberAt: (k) => numbers.get(k),
    unitAt,
    unitAfter,
    overFill,
    isTimes,
    weekday,
  };
}
