import { isCalendar, own, perWeek, type QuantitySaid, type Reading, seconds, type UnitSaid } from './reading';

/** A stretch of time that comes again, in seconds. */
interface Period {
  low: number;
  high: number;
  end: number;
  vague: boolean;
}

const rate = (low: number, high: number, start: number, end: number, vague = false): QuantitySaid => ({
  kind: 'frequency',
  low,
  high,
  start,
  end,
  vague,
});

/** "morning and once at night" from a part of the day on: how many different parts. */
function partsFrom(reading: Reading, k: number, first: UnitSaid): { count: number; end: number } {
  const { pack, find, word, numberAt, unitAt, isTimes } = reading;
  const parts = new Set([word(k)]);
  let { end } = first;
  while (pack.and.includes(word(end) ?? '')) {
    let next = end + 1;
    const again = (): boolean =>
      own(pack.once, word(next)) === 1 ||
      numberAt(next)?.high === 1 ||
      isTimes(next) ||
      pack.another.includes(word(next) ?? '');
    while (next < end + 3 && again()) next++;
    next += find.per.at(reading.tokens, next);
    const unit = unitAt(next);
    if (!unit?.part || parts.has(word(next))) break;
    parts.add(word(next));
    end = unit.end;
  }
  return { count: parts.size, end };
}

/** "Monday, Wednesday and Friday", "Monday through Friday" from k on: how many days. */
function weekdaysFrom(reading: Reading, k: number): { count: number; end: number } {
  const { pack, find, word, weekday } = reading;
  if (pack.through.includes(word(k + 1) ?? '')) {
    const last = pack.articles.includes(word(k + 2) ?? '') ? k + 3 : k + 2;
    if (weekday(last) >= 0) return { count: ((weekday(last) - weekday(k) + 7) % 7) + 1, end: last + 1 };
  }
  const days = new Set<number>();
  let end = k;
  for (let next = k; weekday(next) >= 0; ) {
    days.add(weekday(next));
    end = next + 1;
    next = end;
    if (pack.and.includes(word(end) ?? '')) next += 1 + find.every.at(reading.tokens, end + 1);
  }
  return { count: days.size, end };
}

/** What is repeated, from k on: "other day", "two weeks", "six hours", "Sunday". `once`: parts of the day add up. */
function periodAt(reading: Reading, k: number, once = true): Period | null {
  const { pack, word, numberAt, unitAt, unitAfter, overFill, weekday } = reading;
  const number = numberAt(k);
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
  if (rank !== undefined && (unitAt(k + 1) || weekday(k + 1) >= 0)) {
    factor = rank;
    from++;
  }
  if (word(from) === 'single') from++;
  const unit = unitAt(from);
  if (unit) {
    const parts =
      once && unit.part && factor === 1 ? partsFrom(reading, from, unit) : { count: 1, end: unit.end };
    const size = (unit.size * factor) / parts.count;
    return { low: size, high: size, end: parts.end, vague: false };
  }
  if (weekday(from) < 0) return null;
  const days = factor === 1 ? weekdaysFrom(reading, from) : { count: 1, end: from + 1 };
  const size = (seconds.week * factor) / days.count;
  return { low: size, high: size, end: days.end, vague: false };
}

/** How often, said from k on after a number of times that begins at `start`; null: not said. */
export function timesPer(
  reading: Reading,
  times: { low: number; high: number; vague: boolean },
  start: number,
  k: number,
): QuantitySaid | null {
  const { pack, find, word, numberAt, weekday } = reading;
  const adverb = own(pack.adverbs, word(k));
  if (adverb) {
    const often = adverb.value * perWeek(adverb.per);
    return rate(times.low * often, times.high * often, start, k + 1, times.vague);
  }
  const lead = find.per.at(reading.tokens, k);
  const each = periodAt(reading, k + lead, times.low === 1 && times.high === 1);
  if (!each) return null;
  // "twice ten minutes" is no rate.
  if (lead === 0 && weekday(k) < 0) {
    const number = numberAt(k);
    if (!number || number.implied || each.low < seconds.day) return null;
  }
  const [low, high] = [(times.low * seconds.week) / each.high, (times.high * seconds.week) / each.low];
  return rate(low, high, start, each.end, times.vague || each.vague);
}

/** "6 hourly": every 6 hours; null: not said of the number that begins at i. */
export function hourlyAt(reading: Reading, i: number): QuantitySaid | null {
  const number = reading.numberAt(i);
  if (!number || number.low <= 0 || !reading.pack.hourly.includes(reading.word(number.end) ?? ''))
    return null;
  return rate(perWeek('hour') / number.high, perWeek('hour') / number.low, i, number.end + 1);
}

/** "two days a week", "an hour a day": how often, when a longer time follows a duration that ends at k. */
export function perLonger(reading: Reading, unit: UnitSaid, k: number): { rate: number; end: number } | null {
  const lead = reading.find.per.at(reading.tokens, k);
  const longer = lead > 0 ? reading.unitAt(k + lead) : null;
  if (!longer || !isCalendar(longer) || longer.size <= unit.size) return null;
  return reading.find.every.at(reading.tokens, k) > 0
    ? null
    : { rate: seconds.week / longer.size, end: longer.end };
}

/** How often, if that is what begins at i without a number of times before it. */
export function frequencyAt(reading: Reading, i: number): QuantitySaid | null {
  const { tokens, pack, find, word, numberAt, unitAt, weekday } = reading;
  const here = word(i)!;
  const idiom = find.idioms.at(tokens, i);
  if (idiom > 0) {
    const words = tokens.slice(i, i + idiom).map((token) => token.word);
    const often = pack.idioms[words.join(' ')]!;
    return rate(often, often, i, i + idiom);
  }
  const adverb = own(pack.adverbs, here);
  if (adverb) {
    const often = adverb.value * perWeek(adverb.per);
    return rate(often, often, i, i + 1);
  }
  const once = own(pack.once, here);
  if (once !== undefined) {
    // "once or twice a week"
    const more = pack.numbers.to.includes(word(i + 1) ?? '') ? own(pack.once, word(i + 2)) : undefined;
    const times = { low: once, high: Math.max(once, more ?? once), vague: false };
    const often = timesPer(reading, times, i, more === undefined ? i + 1 : i + 3);
    if (often) return often;
  }
  // q6h, q 4 d
  if (here === 'q') {
    const number = numberAt(i + 1);
    const unit = number && (own(pack.short, word(number.end)) ?? unitAt(number.end)?.unit);
    if (number && unit && number.low > 0)
      return rate(perWeek(unit) / number.high, perWeek(unit) / number.low, i, number.end + 1);
  }
  // every (other) day / week / Sunday; every two weeks; every few months
  const lead = find.every.at(tokens, i);
  const each = lead > 0 ? periodAt(reading, i + lead) : null;
  if (each) return rate(seconds.week / each.high, seconds.week / each.low, i, each.end, each.vague);
  // "un vendredi sur deux"
  if (pack.outOf.length > 0 && pack.numbers.one.includes(here)) {
    const unit = unitAt(i + 1);
    const end = unit?.end ?? (weekday(i + 1) >= 0 ? i + 2 : null);
    const middle = end === null ? 0 : find.outOf.at(tokens, end);
    const number = end !== null && middle > 0 ? numberAt(end + middle) : undefined;
    if (number && number.low > 0) {
      const often = seconds.week / (unit?.size ?? seconds.week) / number.low;
      return rate(often, often, i, number.end);
    }
  }
  if (weekday(i) < 0) return null;
  const days = weekdaysFrom(reading, i);
  return rate(days.count, days.count, i, days.end);
}
