import type { Quantity } from '../../phrasebanks/schema';
import type { LanguagePack } from './language';
import type { Token } from './normalize';
import { findNumbers, type NumberSaid } from './numbers';

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
const perWeek = { day: 7, week: 1, month: 12 / 52.18 } as const;
const weeksOf = { day: 1 / 7, week: 1, month: 52.18 / 12 } as const;

const own = <T>(table: Record<string, T>, word: string | undefined): T | undefined =>
  word !== undefined && Object.hasOwn(table, word) ? table[word] : undefined;

const weekday = (word: string | undefined, pack: LanguagePack): boolean =>
  word !== undefined && (pack.weekdays.includes(word) || pack.weekdays.includes(word.replace(/s$/, '')));

/** All quantities of an answer, in order. Numbers without a unit come as kind `number`. */
export function findQuantities(tokens: readonly Token[], pack: LanguagePack): QuantitySaid[] {
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
  ): void => {
    found.push({ kind, low, high, start, end, vague });
  };
  /** "every", "a", "in a", "per" before a unit of time or a weekday, from k on -> where the unit stands. */
  const afterEvery = (k: number, strict: boolean): number | null => {
    const two = `${word(k)} ${word(k + 1)}`;
    if (pack.every.includes(two)) return k + 2;
    if (!pack.every.includes(word(k) ?? '')) return null;
    return strict && !pack.every.slice(0, 3).includes(word(k)!) ? null : k + 1;
  };
  const calendar = (k: number): 'day' | 'week' | 'month' | null => {
    const name = own(pack.durations, word(k));
    return name === 'day' || name === 'week' || name === 'month' ? name : null;
  };
  /** Times per ... : after "once", "twice", "two times". */
  const per = (times: number, high: number, start: number, k: number, vague: boolean): number | null => {
    const unitAt = afterEvery(k, false) ?? k;
    let at = unitAt;
    const other = pack.other.includes(word(at) ?? '');
    if (other) at++;
    const counted = readCount(at);
    if (counted && calendar(counted.end)) {
      const period = calendar(counted.end)!;
      add(
        'frequency',
        times / (weeksOf[period] * counted.high),
        high / (weeksOf[period] * counted.low),
        start,
        counted.end + 1,
        vague,
      );
      return counted.end + 1;
    }
    const unit = calendar(at);
    if (unit && unitAt > k) {
      const factor = perWeek[unit] / (other ? 2 : 1);
      add('frequency', times * factor, high * factor, start, at + 1, vague);
      return at + 1;
    }
    if (unit && /ly$/.test(word(k) ?? '')) return null;
    if (weekday(word(at), pack)) {
      add('frequency', times, high, start, at + 1, vague);
      return at + 1;
    }
    return null;
  };
  const readCount = (k: number): NumberSaid | undefined => {
    const number = at.get(k);
    return number && !number.implied ? number : undefined;
  };

  for (let i = 0; i < tokens.length; ) {
    const here = word(i)!;
    const adverb = own(pack.adverbs, here);
    if (adverb) {
      add('frequency', adverb.value * perWeek[adverb.per], adverb.value * perWeek[adverb.per], i, i + 1);
      i++;
      continue;
    }
    const once = own(pack.once, here);
    if (once !== undefined) {
      const end = per(once, once, i, i + 1, false);
      if (end) {
        i = end;
        continue;
      }
    }
    // every (other) day / week / Sunday; every two weeks; every few months
    const next = afterEvery(i, true);
    if (next !== null) {
      const other = pack.other.includes(word(next) ?? '');
      const from = other ? next + 1 : next;
      const counted = readCount(next) ?? at.get(next + (pack.numbers.one.includes(word(next) ?? '') ? 1 : 0));
      const period = counted && calendar(counted.end);
      if (counted && period) {
        // An interval of a single period is a frequency as well; both ways of asking find it.
        add(
          'frequency',
          1 / (weeksOf[period] * counted.high),
          1 / (weeksOf[period] * counted.low),
          i,
          counted.end + 1,
          counted.vague,
        );
        i = counted.end + 1;
        continue;
      }
      const single = word(from) === 'single' ? from + 1 : from;
      const unit = calendar(single);
      if (unit) {
        const two = word(single) === 'fortnight' ? 2 : 1;
        const rate = perWeek[unit] / (other ? 2 : 1) / two;
        add('frequency', rate, rate, i, single + 1);
        i = single + 1;
        continue;
      }
      if (weekday(word(single), pack)) {
        const rate = other ? 0.5 : 1;
        add('frequency', rate, rate, i, single + 1);
        i = single + 1;
        continue;
      }
    }
    if (weekday(here, pack)) {
      add('frequency', 1, 1, i, i + 1);
      i++;
      continue;
    }
    const number = at.get(i);
    if (!number) {
      // "weeks", "for minutes": no amount.
      if (here === 'fortnight') add('duration', 2 * seconds.week, 2 * seconds.week, i, i + 1);
      i++;
      continue;
    }
    let end = number.end;
    if (pack.times.includes(word(end) ?? '')) {
      const done = per(number.low, number.high, i, end + 1, number.vague);
      if (done) {
        i = done;
        continue;
      }
    }
    if (
      word(end) === 'of' ||
      word(end) === 'more' ||
      word(end) === 'full' ||
      word(end) === 'good' ||
      word(end) === 'whole'
    )
      end++;
    const duration = own(pack.durations, word(end));
    const distance = own(pack.distances, word(end));
    if (duration && !(number.implied && pack.every.includes(word(i - 1) ?? '') && calendar(end))) {
      let extra = 0;
      let stop = end + 1;
      const two = word(end) === 'fortnight' ? 2 : 1;
      // "a minute and a half"
      if (word(stop) === 'and') {
        const k = pack.numbers.one.includes(word(stop + 1) ?? '') ? stop + 2 : stop + 1;
        if (pack.numbers.half.includes(word(k) ?? '')) {
          extra = 0.5;
          stop = k + 1;
        }
      }
      const size = seconds[duration] * two;
      add('duration', (number.low + extra) * size, (number.high + extra) * size, i, stop, number.vague);
      i = stop;
      continue;
    }
    if (distance) {
      add('distance', number.low * feet[distance], number.high * feet[distance], i, end + 1, number.vague);
      i = end + 1;
      continue;
    }
    // "count (slowly) to ten" is ten seconds.
    const counting = [1, 2, 3, 4].some((back) => pack.count.includes(word(i - back) ?? ''));
    if (counting && number.high > 2) add('duration', number.low, number.high, i, number.end);
    else if (!number.implied) add('number', number.low, number.high, i, number.end, number.vague);
    i = Math.max(number.end, i + 1);
  }
  return dropTakenBack(tokens, found, pack);
}

/** "ten, no wait, five" and "not five, one": the first number is taken back. */
function dropTakenBack(tokens: readonly Token[], found: QuantitySaid[], pack: LanguagePack): QuantitySaid[] {
  const gap = (from: number, to: number): string =>
    tokens
      .slice(from, to)
      .map((token) => token.word)
      .join(' ');
  const refused = (quantity: QuantitySaid | undefined): boolean =>
    quantity !== undefined && pack.negation.plain.includes(tokens[quantity.start - 1]?.word ?? '');
  return found.filter((quantity, index) => {
    const next = found[index + 1];
    if (refused(quantity) && found.length > 1) return false;
    // "five, not five, one"
    if (refused(next) && next!.low === quantity.low && next!.kind === quantity.kind) return false;
    if (!next || next.start - quantity.end > 8) return true;
    const between = ` ${gap(quantity.end, next.start)} `;
    return !pack.repairs.some((cue) => between.includes(` ${cue} `)) && !/^ no $/.test(between);
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
      const rate = quantity.value * perWeek[quantity.per];
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
