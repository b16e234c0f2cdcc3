import type { Quantity } from '../../phrasebanks/schema';
import type { LanguagePack, TimeUnit } from './language';
import type { Token } from './normalize';
import { findNumbers, type NumberSaid, readExtra } from './numbers';
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
const seconds = {
  second: 1,
  minute: 60,
  hour: 3600,
  day: 86_400,
  week: 604_800,
  month: 2_629_800,
  year: 31_557_600,
} as const;
/** International foot and yard, 1959. */
const feet = { foot: 1, meter: 1 / 0.3048, inch: 1 / 12, yard: 3 } as const;
const perWeek = (unit: TimeUnit): number => seconds.week / seconds[unit];

const own = <T>(table: Record<string, T>, word: string | undefined): T | undefined =>
  word !== undefined && Object.hasOwn(table, word) ? table[word] : undefined;

const weekday = (word: string | undefined, pack: LanguagePack): boolean =>
  word !== undefined && (pack.weekdays.includes(word) || pack.weekdays.includes(word.replace(/s$/, '')));

interface Ready {
  every: PhraseFinder;
  per: PhraseFinder;
  idioms: PhraseFinder;
  outOf: PhraseFinder;
  /** First letter and sorted letters -> the word: "tiems" is a slip of "times". */
  slips: Map<string, string>;
}
const ready = new WeakMap<LanguagePack, Ready>();
const letters = (word: string): string => word[0] + [...word].sort().join('');
/** A range spans no more than this. */
const widest = 6;
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
      every: phraseFinder(pack.every),
      per: phraseFinder([...pack.every, ...pack.per]),
      idioms: phraseFinder(Object.keys(pack.idioms)),
      outOf: phraseFinder(pack.outOf),
      slips,
    };
    ready.set(pack, known);
  }
  return known;
}

/** A unit of time that stands at a position: how many seconds, and where it ends. */
interface UnitSaid {
  unit: TimeUnit;
  size: number;
  part: boolean;
  end: number;
}

/** All quantities of an answer, in order. Numbers without a unit come as kind `number`. */
export function findQuantities(tokens: readonly Token[], pack: LanguagePack): QuantitySaid[] {
  const find = readyOf(pack);
  const found: QuantitySaid[] = [];
  const word = (k: number): string | undefined => tokens[k]?.word;
  const numbers = findNumbers(tokens, pack);
  const at = new Map<number, NumberSaid>(numbers.map((number) => [number.start, number]));
  const add = (
    kind: QuantityKind,
    low: number,
    high: number,
    start: number,
    end: number,
    vague = false,
  ): number => {
    found.push({ kind, low, high, start, end, vague });
    return end;
  };

  const meanings = new Map<string, string>();
  /** The word at k, or what it is a slip of. */
  const meant = (k: number): string | undefined => {
    const said = word(k);
    if (said === undefined || said.length < shortestSlip || said.length > longestSlip) return said;
    let meaning = meanings.get(said);
    if (meaning === undefined) {
      meaning = own(pack.durations, said) ? said : (find.slips.get(letters(said)) ?? said);
      if (meaning !== said && pack.common.includes(said)) meaning = said;
      meanings.set(said, meaning);
    }
    return meaning;
  };
  const isTimes = (k: number): boolean => pack.times.includes(meant(k) ?? '');
  const unitAt = (k: number): UnitSaid | null => {
    const one = meant(k);
    if (one === undefined) return null;
    const two = `${one} ${word(k + 1) ?? ''}`;
    const key = own(pack.durations, two) ? two : one;
    const unit = own(pack.durations, key);
    if (!unit) return null;
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
  const isCalendar = (unit: UnitSaid): boolean => seconds[unit.unit] >= seconds.day;

  /** What is repeated, from k on: "other day", "two weeks", "six hours", "Sunday", "third day". */
  const period = (
    k: number,
    once = true,
  ): { low: number; high: number; end: number; vague: boolean } | null => {
    const number = at.get(k);
    if (number && !(number.implied && !unitAt(number.end))) {
      const unit = unitAfter(overFill(number.end));
      if (unit && number.low > 0)
        return {
          low: number.low * unit.size,
          high: number.high * unit.size,
          end: unit.end,
          vague: number.vague,
        };
    }
    let from = k;
    let factor = 1;
    const rank = pack.other.includes(word(k) ?? '') ? 2 : own(pack.numbers.ordinals, word(k));
    // "every second" is no "every second day".
    if (rank !== undefined && (unitAt(k + 1) || weekday(word(k + 1), pack))) {
      factor = rank;
      from++;
    }
    if (word(from) === 'single') from++;
    const unit = unitAt(from);
    if (unit) {
      const parts = once && unit.part && factor === 1 ? partsFrom(from, unit) : { count: 1, end: unit.end };
      const size = (unit.size * factor) / parts.count;
      return { low: size, high: size, end: parts.end, vague: false };
    }
    if (weekday(word(from), pack)) {
      const list = factor === 1 ? weekdaysFrom(from) : { count: 1, end: from + 1 };
      const size = (seconds.week * factor) / list.count;
      return { low: size, high: size, end: list.end, vague: false };
    }
    return null;
  };
  /** "morning and once at night" from a part of the day on: how many different parts. */
  const partsFrom = (k: number, first: UnitSaid): { count: number; end: number } => {
    const parts = new Set([word(k)]);
    let end = first.end;
    for (let unit: UnitSaid | null = first; unit; ) {
      if (!pack.and.includes(word(end) ?? '')) break;
      let next = end + 1;
      const again = (): boolean =>
        own(pack.once, word(next)) === 1 ||
        at.get(next)?.high === 1 ||
        isTimes(next) ||
        pack.another.includes(word(next) ?? '');
      while (next < end + 3 && again()) next++;
      next += find.per.at(tokens, next);
      unit = unitAt(next);
      if (!unit?.part || parts.has(word(next))) break;
      parts.add(word(next));
      end = unit.end;
    }
    return { count: parts.size, end };
  };
  /** "Monday, Wednesday and Friday", "Monday through Friday" from k on. */
  const weekdaysFrom = (k: number): { count: number; end: number } => {
    const days = new Set<string>();
    const rank = (at: number): number =>
      pack.weekdays.findIndex((day) => word(at)?.replace(/s$/, '') === day.replace(/s$/, ''));
    let end = k;
    if (pack.through.includes(word(k + 1) ?? '')) {
      const last = pack.articles.includes(word(k + 2) ?? '') ? k + 3 : k + 2;
      if (rank(k) >= 0 && rank(last) >= 0)
        return { count: ((rank(last) - rank(k) + 7) % 7) + 1, end: last + 1 };
    }
    for (let next = k; ; ) {
      if (!weekday(word(next), pack)) break;
      days.add(word(next)!.replace(/s$/, ''));
      end = next + 1;
      next = pack.and.includes(word(end) ?? '') ? end + 1 : end;
      if (next > end && find.every.at(tokens, next) > 0) next += find.every.at(tokens, next);
    }
    return { count: Math.max(1, days.size), end };
  };
  /** How often, said after a number of times; the end, or null. */
  const per = (times: number, high: number, start: number, k: number, vague: boolean): number | null => {
    const adverb = own(pack.adverbs, word(k));
    if (adverb) {
      const rate = adverb.value * perWeek(adverb.per);
      return add('frequency', times * rate, high * rate, start, k + 1, vague);
    }
    const lead = find.per.at(tokens, k);
    const each = period(k + lead, times === 1 && high === 1);
    if (!each) return null;
    // "twice ten minutes" is no rate.
    if (lead === 0 && !weekday(word(k), pack)) {
      const number = at.get(k);
      if (!number || number.implied || each.low < seconds.day) return null;
    }
    return add(
      'frequency',
      (times * seconds.week) / each.high,
      (high * seconds.week) / each.low,
      start,
      each.end,
      vague || each.vague,
    );
  };
  /** How often, if that is what begins at i; the end, or null. */
  const frequencyAt = (i: number): number | null => {
    const idiom = find.idioms.at(tokens, i);
    if (idiom > 0) {
      const phrase = tokens
        .slice(i, i + idiom)
        .map((token) => token.word)
        .join(' ');
      const rate = pack.idioms[phrase]!;
      return add('frequency', rate, rate, i, i + idiom);
    }
    const here = word(i)!;
    const adverb = own(pack.adverbs, here);
    if (adverb) {
      const rate = adverb.value * perWeek(adverb.per);
      return add('frequency', rate, rate, i, i + 1);
    }
    const once = own(pack.once, here);
    if (once !== undefined) {
      // "once or twice a week"
      const more = pack.numbers.to.includes(word(i + 1) ?? '') ? own(pack.once, word(i + 2)) : undefined;
      const end = per(once, Math.max(once, more ?? once), i, more === undefined ? i + 1 : i + 3, false);
      if (end) return end;
    }
    // q6h, q 4 d
    if (here === 'q') {
      const number = at.get(i + 1);
      const unit = number && (own(pack.short, word(number.end)) ?? unitAt(number.end)?.unit);
      if (number && unit && number.low > 0)
        return add('frequency', perWeek(unit) / number.high, perWeek(unit) / number.low, i, number.end + 1);
    }
    // every (other) day / week / Sunday; every two weeks; every few months
    const lead = find.every.at(tokens, i);
    if (lead > 0) {
      const each = period(i + lead);
      if (each)
        return add('frequency', seconds.week / each.high, seconds.week / each.low, i, each.end, each.vague);
    }
    // "un vendredi sur deux"
    if (pack.numbers.one.includes(here) && pack.outOf.length > 0) {
      const unit = unitAt(i + 1);
      const end = unit ? unit.end : weekday(word(i + 1), pack) ? i + 2 : null;
      const middle = end === null ? 0 : find.outOf.at(tokens, end);
      const number = end !== null && middle > 0 ? at.get(end + middle) : undefined;
      if (number && number.low > 0) {
        const size = unit ? unit.size : seconds.week;
        const rate = seconds.week / size / number.low;
        return add('frequency', rate, rate, i, number.end);
      }
    }
    if (weekday(here, pack)) {
      const list = weekdaysFrom(i);
      return add('frequency', list.count, list.count, i, list.end);
    }
    return null;
  };
  /** "all day", "the whole week", "la semaine entière"; the end, or null. */
  const wholeAt = (i: number): number | null => {
    const before = pack.whole.includes(word(i) ?? '');
    let k = before ? i + 1 : i;
    if (before && pack.articles.includes(word(k) ?? '')) k++;
    const unit = unitAt(k);
    if (!unit || unit.part) return null;
    // "another minute" is one as well, "all minute" is nothing.
    if (before && (isCalendar(unit) || pack.another.includes(word(i)!)))
      return add('duration', unit.size, unit.size, i, unit.end);
    if (isCalendar(unit) && pack.whole.includes(word(unit.end) ?? ''))
      return add('duration', unit.size, unit.size, i, unit.end + 1);
    return null;
  };
  /** The smaller units that belong to a duration: "one hour (and) fifteen minutes". */
  const smaller = (unit: UnitSaid, k: number): { value: number; unit: UnitSaid } | null => {
    const from = pack.and.includes(word(k) ?? '') ? k + 1 : k;
    const number = at.get(from);
    if (!number || number.vague || number.low !== number.high) return null;
    const next = unitAfter(overFill(number.end));
    if (!next || next.part || seconds[next.unit] >= seconds[unit.unit]) return null;
    return { value: number.low * next.size, unit: next };
  };

  /** Minutes that are said without their name and end what is said. */
  const minutesAt = (k: number): { value: number; end: number } | null => {
    const from = pack.and.includes(word(k) ?? '') ? k + 1 : k;
    const number = at.get(from);
    if (!number || number.vague || number.low !== number.high || number.low > 59 || number.low % 5 > 0)
      return null;
    const next = word(number.end);
    return next === undefined || pack.negation.ends.includes(next)
      ? { value: number.low, end: number.end }
      : null;
  };

  for (let i = 0; i < tokens.length; ) {
    const number = at.get(i);
    const often = number && !number.implied ? null : frequencyAt(i);
    if (often) {
      i = often;
      continue;
    }
    if (!number) {
      const whole = wholeAt(i);
      if (whole) {
        i = whole;
        continue;
      }
      // "fortnight", "hora y media": amounts by themselves. "weeks", "for minutes": none.
      const unit = unitAt(i);
      const extra = unit && readExtra(tokens, unit.end, pack);
      if (unit && extra && extra.value < 1) {
        i = add('duration', unit.size * (1 + extra.value), unit.size * (1 + extra.value), i, extra.end);
        continue;
      }
      const alone = unit !== null && own(pack.multiples, word(i)) !== undefined;
      i = alone ? add('duration', unit.size, unit.size, i, unit.end) : i + 1;
      continue;
    }
    const times = isTimes(number.end) ? number.end : overFill(number.end);
    if (isTimes(times)) {
      const done = per(number.low, number.high, i, times + 1, number.vague);
      if (done) {
        i = done;
        continue;
      }
    }
    // "6 hourly"
    if (pack.hourly.includes(word(number.end) ?? '') && number.low > 0) {
      i = add('frequency', perWeek('hour') / number.high, perWeek('hour') / number.low, i, number.end + 1);
      continue;
    }
    const after = overFill(number.end);
    const unit = unitAfter(after);
    if (unit && !(number.implied && find.every.at(tokens, i - 1) > 0 && isCalendar(unit))) {
      let { low, high } = number;
      let stop = unit.end;
      // "a minute and a half"
      const extra = readExtra(tokens, stop, pack);
      if (extra && extra.value < 1 && Number.isInteger(low)) {
        low += extra.value;
        high += extra.value;
        stop = extra.end;
      }
      low *= unit.size;
      high *= unit.size;
      for (let more = smaller(unit, stop); more; more = smaller(more.unit, stop)) {
        low += more.value;
        high += more.value;
        stop = more.unit.end;
      }
      // "an hour thirty", when nothing else is counted by it
      const bare = unit.unit === 'hour' ? minutesAt(stop) : null;
      if (bare) {
        low += bare.value * seconds.minute;
        high += bare.value * seconds.minute;
        stop = bare.end;
      }
      if (pack.whole.includes(word(stop) ?? '')) stop++;
      // "a minute or two", "thirty seconds to a minute"
      const further = pack.numbers.to.includes(word(stop) ?? '') ? at.get(stop + 1) : undefined;
      if (further && !further.vague && !isTimes(further.end)) {
        const other = unitAfter(overFill(further.end));
        const most = further.high * (other ?? unit).size;
        if ((other || !further.implied) && most > high && most <= low * widest) {
          high = most;
          stop = other ? other.end : further.end;
        }
      }
      // "two days a week" says how often; "an hour a day" how long, each day.
      const lead = find.per.at(tokens, stop);
      const whole = lead > 0 ? unitAt(stop + lead) : null;
      if (whole && isCalendar(whole) && whole.size > unit.size && find.every.at(tokens, stop) === 0) {
        if (unit.unit === 'day') {
          const rate = seconds.week / whole.size / unit.size;
          i = add('frequency', low * rate, high * rate, i, whole.end, number.vague);
          continue;
        }
        add('duration', low, high, i, stop, number.vague);
        i = add('frequency', seconds.week / whole.size, seconds.week / whole.size, stop, whole.end);
        continue;
      }
      i = add('duration', low, high, i, stop, number.vague);
      continue;
    }
    const distance = own(pack.distances, word(after));
    if (distance) {
      // "five feet (and) two inches"
      const from = pack.and.includes(word(after + 1) ?? '') ? after + 2 : after + 1;
      const rest = at.get(from);
      const smaller = rest && own(pack.distances, word(rest.end));
      const joins = rest && smaller && feet[smaller] < feet[distance];
      const more = joins ? rest.low * feet[smaller] : 0;
      i = add(
        'distance',
        number.low * feet[distance] + more,
        number.high * feet[distance] + more,
        i,
        joins ? rest.end + 1 : after + 1,
        number.vague,
      );
      continue;
    }
    // "count (slowly) to ten" is ten seconds.
    const counting = [1, 2, 3, 4].some((back) => pack.count.includes(word(i - back) ?? ''));
    if (counting && number.high > 2) add('duration', number.low, number.high, i, number.end);
    else if (!number.implied || pack.counted.includes(word(after) ?? ''))
      add('number', number.low, number.high, i, number.end, number.vague);
    i = Math.max(number.end, i + 1);
  }
  return dropTakenBack(tokens, found, pack);
}

/** "ten, no wait, five" and "not five, one": the first number is taken back. */
function dropTakenBack(tokens: readonly Token[], found: QuantitySaid[], pack: LanguagePack): QuantitySaid[] {
  const longestGap = 8;
  /** What is said between an amount and the next: the first is taken back, or it cannot be told, or neither. */
  const turnAfter = (index: number): 'back' | 'unclear' | null => {
    const [quantity, next] = [found[index], found[index + 1]];
    if (!quantity || !next || next.start - quantity.end > longestGap) return null;
    const words = tokens.slice(quantity.end, next.start);
    const between = words.map((token) => token.word).join(' ');
    if (pack.refusals.includes(between)) return 'back';
    if (pack.pausedRefusals.includes(between))
      return tokens[next.start]!.start - words.at(-1)!.end > 1 ? 'back' : 'unclear';
    return pack.repairs.some((cue) => ` ${between} `.includes(` ${cue} `)) ? 'back' : null;
  };
  const refused = (index: number): boolean => {
    const quantity = found[index];
    if (!quantity || !pack.negation.plain.includes(tokens[quantity.start - 1]?.word ?? '')) return false;
    return index === 0 || found[index - 1]!.end !== quantity.start - 1 || turnAfter(index - 1) === null;
  };
  return found.filter((quantity, index) => {
    const next = found[index + 1];
    if (refused(index) && found.length > 1) return false;
    // "five, not five, one"
    if (refused(index + 1) && next!.low === quantity.low && next!.kind === quantity.kind) return false;
    return turnAfter(index) !== 'back';
  });
}

/** Bounds of what a concept asks for, in the unit of `QuantitySaid`. */
export function boundsOf(quantity: Quantity): { kind: QuantityKind; min: number; max: number } {
  switch (quantity.kind) {
    case 'count':
      return { kind: 'number', min: quantity.min ?? quantity.value, max: quantity.max ?? quantity.value };
    case 'duration':
    case 'interval': {
      const size = seconds[quantity.unit];
      const open = quantity.min === undefined && quantity.max === undefined;
      return {
        kind: 'duration',
        min: (open ? quantity.value : (quantity.min ?? 0)) * size,
        max: (open ? quantity.value : (quantity.max ?? Number.POSITIVE_INFINITY)) * size,
      };
    }
    case 'frequency': {
      const rate = quantity.value * perWeek(quantity.per);
      return { kind: 'frequency', min: rate * 0.9, max: rate * 1.1 };
    }
    case 'distance': {
      const size = feet[quantity.unit];
      const open = quantity.min === undefined && quantity.max === undefined;
      return {
        kind: 'distance',
        min: (open ? quantity.value : (quantity.min ?? 0)) * size * 0.98,
        max: (open ? quantity.value : (quantity.max ?? Number.POSITIVE_INFINITY)) * size * 1.02,
      };
    }
  }
}

/** Does a quantity fit? null: it is of another kind, or says too little to tell. `bare`: numbers without a unit count. */
export function fits(said: QuantitySaid, asked: Quantity, bare: boolean): boolean | null {
  const bounds = boundsOf(asked);
  let { low, high } = said;
  if (asked.kind === 'interval' && said.kind === 'frequency') {
    [low, high] = [seconds.week / said.high, seconds.week / said.low];
  } else if (asked.kind === 'frequency' && said.kind === 'duration') {
    return null;
  } else if (said.kind === 'number' && bounds.kind !== 'number') {
    if (!bare) return null;
    const size =
      asked.kind === 'duration' || asked.kind === 'interval'
        ? seconds[asked.unit]
        : asked.kind === 'distance'
          ? feet[asked.unit]
          : 1;
    low *= size;
    high *= size;
  } else if (said.kind !== bounds.kind) return null;
  const inside = low >= bounds.min * 0.999 && high <= bounds.max * 1.001;
  if (inside) return true;
  if (said.vague && high >= bounds.min / 2 && low <= bounds.max * 2) return null;
  return false;
}
