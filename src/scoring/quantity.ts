import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { Quantity } from '../../phrasebanks/schema';
import { countedDuration, plainDuration } from './duration';
import { frequencyAt, hourlyAt, perLonger, timesPer } from './frequency';
import type { Token } from './normalize';
import type { NumberSaid } from './numbers';
import {
  feet,
  isCalendar,
  own,
  perWeek,
  type QuantityKind,
  type QuantitySaid,
  type Reading,
  readingOf,
  seconds,
} from './reading';
import { dropTakenBack } from './takenBack';

export type { QuantityKind, QuantitySaid } from './reading';

/** How far, from a number whose unit would stand at k: "five feet (and) two inches"; or null. */
function distanceAt(reading: Reading, number: NumberSaid, k: number): QuantitySaid | null {
  const { pack, word, numberAt } = reading;
  const unit = own(pack.distances, word(k));
  if (!unit) return null;
  let [low, high, end] = [number.low * feet[unit], number.high * feet[unit], k + 1];
  const rest = numberAt(pack.and.includes(word(end) ?? '') ? end + 1 : end);
  const smaller = rest && own(pack.distances, word(rest.end));
  if (rest && smaller && feet[smaller] < feet[unit]) {
    low += rest.low * feet[smaller];
    high += rest.high * feet[smaller];
    end = rest.end + 1;
  }
  return { kind: 'distance', low, high, start: number.start, end, vague: number.vague };
}

/** What a number counts: times, hours, feet, or only itself; nothing for "a" before other nouns. */
function countedAt(reading: Reading, number: NumberSaid): QuantitySaid[] {
  const { tokens, pack, find, word, unitAfter, overFill, isTimes } = reading;
  const { start, vague } = number;
  const times = isTimes(number.end) ? number.end : overFill(number.end);
  const often =
    (isTimes(times) ? timesPer(reading, number, start, times + 1) : null) ?? hourlyAt(reading, start);
  if (often) return [often];
  const after = overFill(number.end);
  const unit = unitAfter(after);
  if (unit && !(number.implied && find.every.at(tokens, start - 1) > 0 && isCalendar(unit))) {
    const long = countedDuration(reading, number, unit);
    const per = perLonger(reading, unit, long.end);
    if (!per) return [long];
    // "two days a week" says how often; "an hour a day" how long, each day.
    if (unit.unit === 'day') {
      const [low, high] = [long.low / unit.size, long.high / unit.size];
      return [{ kind: 'frequency', low: low * per.rate, high: high * per.rate, start, end: per.end, vague }];
    }
    const each = { low: per.rate, high: per.rate, start: long.end, end: per.end };
    return [long, { kind: 'frequency', ...each, vague: false }];
  }
  const far = distanceAt(reading, number, after);
  if (far) return [far];
  const bare = { low: number.low, high: number.high, start, end: number.end, vague };
  // "count (slowly) to ten" is ten seconds.
  const counting = [1, 2, 3, 4].some((back) => pack.count.includes(word(start - back) ?? ''));
  if (counting && number.high > 2) return [{ kind: 'duration', ...bare, vague: false }];
  return number.implied && !pack.counted.includes(word(after) ?? '') ? [] : [{ kind: 'number', ...bare }];
}

/** All quantities of an answer, in order. Numbers without a unit come as kind `number`. */
export function findQuantities(tokens: readonly Token[], pack: LanguagePack): QuantitySaid[] {
  const reading = readingOf(tokens, pack);
  const found: QuantitySaid[] = [];
  for (let i = 0; i < tokens.length; ) {
    const number = reading.numberAt(i);
    const plain =
      (number && !number.implied ? null : frequencyAt(reading, i)) ??
      (number ? null : plainDuration(reading, i));
    const here = plain ? [plain] : number ? countedAt(reading, number) : [];
    found.push(...here);
    i = Math.max(i + 1, number?.end ?? 0, here.at(-1)?.end ?? 0);
  }
  return dropTakenBack(tokens, found, pack);
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
