import type { NumberSaid } from './numbers';
import { readExtra } from './numbers';
import { isCalendar, own, type QuantitySaid, type Reading, seconds, type UnitSaid } from './reading';

/** A range spans no more than this. */
const widest = 6;

const time = (low: number, high: number, start: number, end: number, vague = false): QuantitySaid => ({
  kind: 'duration',
  low,
  high,
  start,
  end,
  vague,
});

/** How long, without a number: "all day", "la semaine enti\u00e8re", "a fortnight", "hora y media"; or null. */
export function plainDuration(reading: Reading, i: number): QuantitySaid | null {
  const { tokens, pack, word, unitAt } = reading;
  if (pack.whole.includes(word(i) ?? '')) {
    const unit = unitAt(pack.articles.includes(word(i + 1) ?? '') ? i + 2 : i + 1);
    // "another minute" is one as well, "all minute" is nothing.
    if (unit && !unit.part && (isCalendar(unit) || pack.another.includes(word(i)!)))
      return time(unit.size, unit.size, i, unit.end);
  }
  const unit = unitAt(i);
  if (!unit) return null;
  if (!unit.part && isCalendar(unit) && pack.whole.includes(word(unit.end) ?? ''))
    return time(unit.size, unit.size, i, unit.end + 1);
  const extra = readExtra(tokens, unit.end, pack);
  if (extra && extra.value < 1)
    return time(unit.size * (1 + extra.value), unit.size * (1 + extra.value), i, extra.end);
  // "weeks", "for minutes": no amount.
  return own(pack.multiples, word(i)) === undefined ? null : time(unit.size, unit.size, i, unit.end);
}

/** The smaller units that belong to a duration: "one hour (and) fifteen minutes". */
function smallerAt(reading: Reading, unit: UnitSaid, k: number): { value: number; unit: UnitSaid } | null {
  const { pack, word, numberAt, unitAfter, overFill } = reading;
  const number = numberAt(pack.and.includes(word(k) ?? '') ? k + 1 : k);
  if (!number || number.vague || number.low !== number.high) return null;
  const next = unitAfter(overFill(number.end));
  if (!next || next.part || seconds[next.unit] >= seconds[unit.unit]) return null;
  return { value: number.low * next.size, unit: next };
}

/** Minutes that are said without their name and end what is said: "an hour thirty". */
function minutesAt(reading: Reading, k: number): NumberSaid | null {
  const { pack, word, numberAt } = reading;
  const number = numberAt(pack.and.includes(word(k) ?? '') ? k + 1 : k);
  if (!number || number.vague || number.low !== number.high) return null;
  if (number.low >= 60 || number.low % 5 > 0) return null;
  const next = word(number.end);
  return next === undefined || pack.negation.ends.includes(next) ? number : null;
}

/** How long, from a number and the unit behind it: with halves, smaller units, and the end of a range. */
export function countedDuration(reading: Reading, number: NumberSaid, unit: UnitSaid): QuantitySaid {
  const { tokens, pack, word, numberAt, unitAfter, overFill, isTimes } = reading;
  let { low, high } = number;
  let { end } = unit;
  // "a minute and a half"
  const extra = readExtra(tokens, end, pack);
  if (extra && extra.value < 1 && Number.isInteger(low)) {
    low += extra.value;
    high += extra.value;
    end = extra.end;
  }
  low *= unit.size;
  high *= unit.size;
  for (let more = smallerAt(reading, unit, end); more; more = smallerAt(reading, more.unit, end)) {
    low += more.value;
    high += more.value;
    end = more.unit.end;
  }
  const bare = unit.unit === 'hour' ? minutesAt(reading, end) : null;
  if (bare) {
    low += bare.low * seconds.minute;
    high += bare.low * seconds.minute;
    end = bare.end;
  }
  if (pack.whole.includes(word(end) ?? '')) end++;
  // "a minute or two", "thirty seconds to a minute"
  const further = pack.numbers.to.includes(word(end) ?? '') ? numberAt(end + 1) : undefined;
  if (further && !further.vague && !isTimes(further.end)) {
    const other = unitAfter(overFill(further.end));
    const most = further.high * (other ?? unit).size;
    if ((other || !further.implied) && most > high && most <= low * widest) {
      high = most;
      end = other?.end ?? further.end;
    }
  }
  return time(low, high, number.start, end, number.vague);
}
