import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { figuresAt, readFigures } from './figures';
import type { Token } from './normalize';
import { type PhraseFinder, phraseFinder } from './phrases';

/** A number said in the answer, as token positions (end exclusive). */
export interface NumberSaid {
  low: number;
  high: number;
  start: number;
  end: number;
  /** "a few", "several": an amount that pins nothing down. */
  vague: boolean;
  /** Said as "a minute", "half the cup", "un souffle": an amount only because of the noun behind it. */
  implied: boolean;
}

interface Entry {
  words: string[];
  kind: 'unit' | 'ten' | 'hundred' | 'scale';
  value: number;
  /** What is added after it must be smaller than this. */
  room: number;
}

const own = <T>(table: Record<string, T>, word: string | undefined): T | undefined =>
  word !== undefined && Object.hasOwn(table, word) ? table[word] : undefined;

const entries = new WeakMap<LanguagePack, Map<string, Entry[]>>();
const names = new WeakMap<LanguagePack, PhraseFinder>();

function namesOf(pack: LanguagePack): PhraseFinder {
  const known = names.get(pack) ?? phraseFinder(pack.numbers.names);
  names.set(pack, known);
  return known;
}

/** Number words by their first word, the longest first. */
function entriesOf(pack: LanguagePack): Map<string, Entry[]> {
  const known = entries.get(pack);
  if (known) return known;
  const { units, tens, hundreds, scales, room } = pack.numbers;
  const made = new Map<string, Entry[]>();
  const add = (
    table: Record<string, number>,
    kind: Entry['kind'],
    after: (key: string, value: number) => number,
  ): void => {
    for (const [key, value] of Object.entries(table)) {
      const words = key.split(' ');
      const list = made.get(words[0]!) ?? [];
      list.push({ words, kind, value, room: after(key, value) });
      list.sort((a, b) => b.words.length - a.words.length);
      made.set(words[0]!, list);
    }
  };
  add(units, 'unit', () => 1);
  add(tens, 'ten', (key) => own(room, key) ?? 10);
  add(hundreds, 'hundred', () => 100);
  add(scales, 'scale', (_, value) => value);
  entries.set(pack, made);
  return made;
}

function entryAt(tokens: readonly Token[], i: number, pack: LanguagePack): Entry | null {
  const list = entriesOf(pack).get(tokens[i]?.word ?? '');
  return list?.find(({ words }) => words.every((word, k) => tokens[i + k]?.word === word)) ?? null;
}

interface Part {
  value: number;
  scale: number;
  end: number;
}

/** A whole number in words or figures: the longest that is one number. */
function readWhole(
  tokens: readonly Token[],
  i: number,
  pack: LanguagePack,
): { value: number; end: number; words: boolean } | null {
  const { joiners, alone, one } = pack.numbers;
  const first = tokens[i]?.word ?? '';
  if (!entriesOf(pack).has(first) && !/^[\d.,]/.test(first) && !one.includes(first)) return null;
  const parts: Part[] = [];
  const sum = (list: readonly Part[]): number => list.reduce((total, part) => total + part.value, 0);
  let room = Number.POSITIVE_INFINITY;
  let k = i;
  for (; k < tokens.length; ) {
    const joined = parts.length > 0 && room > 1 && joiners.includes(tokens[k]!.word);
    const at = joined ? k + 1 : k;
    const entry = entryAt(tokens, at, pack);
    if (entry && entry.kind !== 'scale') {
      if (entry.value >= room || (entry.value === 0 && parts.length > 0)) break;
      const end = at + entry.words.length;
      // "a hundred and three quarters" ends before the three.
      if (parts.length > 0 && entry.value <= 3) {
        const next = tokens[end]?.word ?? '';
        if (pack.numbers.half.includes(next) || pack.numbers.quarter.includes(next)) break;
      }
      parts.push({ value: entry.value, scale: entry.kind === 'hundred' ? 100 : 1, end });
      room = entry.room;
      k = end;
      continue;
    }
    if (entry) {
      const scale = entry.value;
      const end = at + entry.words.length;
      if (joined && !alone.includes(tokens[at]!.word)) break;
      const standing = alone.includes(tokens[at]!.word);
      const smaller = joined ? 0 : [...parts].reverse().findIndex((part) => part.scale >= scale);
      const taken = joined ? 0 : smaller < 0 ? parts.length : smaller;
      if (taken === 0) {
        const next = entryAt(tokens, end, pack);
        const leads = parts.length === 0 && next?.kind === 'scale' && next.value > scale;
        if (scale >= room || !(standing || leads)) break;
        parts.push({ value: scale, scale, end });
      } else {
        const multiplied = parts.slice(parts.length - taken);
        const before = parts[parts.length - taken - 1];
        // "three hundred (and) two hundred": two numbers.
        if (before && before.scale <= scale) {
          parts.length -= taken;
          break;
        }
        parts.length -= taken;
        parts.push({ value: sum(multiplied) * scale, scale, end });
      }
      room = scale;
      k = end;
      continue;
    }
    const figures = figuresAt(tokens, at, pack);
    if (figures) {
      if (parts.length > 0 && (figures.value >= room || figures.value === 0 || figures.value % 1 !== 0))
        break;
      parts.push({ value: figures.value, scale: 1, end: figures.end });
      room = 1;
      k = figures.end;
      continue;
    }
    // "a hundred"
    if (parts.length === 0 && one.includes(tokens[k]!.word)) {
      const next = entryAt(tokens, k + 1, pack);
      if (next?.kind !== 'scale') break;
      parts.push({ value: 1, scale: 1, end: k + 1 });
      k++;
      continue;
    }
    break;
  }
  const last = parts.at(-1);
  if (!last) return null;
  return { value: sum(parts), end: last.end, words: entryAt(tokens, i, pack) !== null };
}

/** The decimals that are said after "point", from position i on: "zero three", "seventy one". */
function readDecimals(
  tokens: readonly Token[],
  i: number,
  pack: LanguagePack,
): { text: string; end: number } | null {
  let text = '';
  let k = i;
  for (;;) {
    const entry = entryAt(tokens, k, pack);
    const figure = tokens[k]?.word ?? '';
    if (entry?.kind === 'unit' && entry.value < 10) text += entry.value;
    else if (/^\d$/.test(figure)) text += figure;
    else break;
    k += entry?.words.length ?? 1;
  }
  if (k > i) return { text, end: k };
  const whole = readWhole(tokens, i, pack);
  return whole && Number.isInteger(whole.value) ? { text: String(whole.value), end: whole.end } : null;
}

/** A half or quarters that are added to what stands before: "and a half", "y media", "et trois quarts". */
export function readExtra(
  tokens: readonly Token[],
  i: number,
  pack: LanguagePack,
): { value: number; end: number } | null {
  const { joiners, point, one, half, quarter, units } = pack.numbers;
  const word = (k: number): string => tokens[k]?.word ?? '';
  const figures = /^\d+[/\u2044]\d+$/;
  if (figures.test(word(i))) return { value: readFigures(word(i), '.')!, end: i + 1 };
  if (!joiners.includes(word(i)) && !point.includes(word(i))) return null;
  let k = i + 1;
  if (figures.test(word(k))) return { value: readFigures(word(k), '.')!, end: k + 1 };
  const count = own(units, word(k));
  if (one.includes(word(k)) || (count !== undefined && count >= 1 && count <= 3)) k++;
  if (half.includes(word(k)) && (count ?? 1) === 1) return { value: 0.5, end: k + 1 };
  if (quarter.includes(word(k))) return { value: (count ?? 1) / 4, end: k + 1 };
  return null;
}

/** One plain number from position i on, or null. "two hundred and five", "20", "1.5", "two and a half", "veintidós". */
export function readNumber(
  tokens: readonly Token[],
  i: number,
  pack: LanguagePack,
): { value: number; end: number } | null {
  const { point, half, quarter } = pack.numbers;
  const whole = readWhole(tokens, i, pack);
  if (!whole) return null;
  const { value, end } = whole;
  const next = tokens[end]?.word ?? '';
  if (!Number.isInteger(value)) return { value, end };
  if (whole.words && end === i + 1 && value <= 3) {
    if (value === 1 && half.includes(next)) return { value: 0.5, end: end + 1 };
    if (value >= 1 && quarter.includes(next)) return { value: value / 4, end: end + 1 };
  }
  const extra = readExtra(tokens, end, pack);
  if (extra && extra.value < 1) return { value: value + extra.value, end: extra.end };
  if (point.includes(next)) {
    const decimals = readDecimals(tokens, end + 1, pack);
    if (decimals) return { value: Number(`${value}.${decimals.text}`), end: decimals.end };
  }
  return { value, end };
}

/** Every number of an answer, ranges joined: "ten to fifteen", "two three", "five or ten", "a couple of". */
export function findNumbers(tokens: readonly Token[], pack: LanguagePack): NumberSaid[] {
  const { vague, loose, to, half, quarter, one, between, joiners, pronouns } = pack.numbers;
  const found: NumberSaid[] = [];
  const word = (k: number): string => tokens[k]?.word ?? '';
  const unit = (k: number): boolean =>
    own(pack.durations, word(k)) !== undefined ||
    own(pack.durations, `${word(k)} ${word(k + 1)}`) !== undefined ||
    own(pack.distances, word(k)) !== undefined;
  const add = (low: number, high: number, start: number, end: number, rest?: Partial<NumberSaid>): void => {
    found.push({ low, high, start, end, vague: false, implied: false, ...rest });
  };
  const { calls, clock } = pack.numbers;
  const name = namesOf(pack);
  /** "call two one one", "at nine o'clock": no amounts. */
  const isNoAmount = (start: number, end: number): boolean => {
    if (unit(end) && !clock.hours.includes(word(end))) return false;
    if (pack.times.includes(word(end))) return false;
    if ([1, 2, 3].some((back) => calls.includes(word(start - back)))) return true;
    const before =
      clock.before.length === 0 ||
      clock.before.includes(word(start - 1)) ||
      clock.before.includes(`${word(start - 2)} ${word(start - 1)}`);
    const hour = clock.hours.length === 0 ? clock.before.length > 0 : clock.hours.includes(word(end));
    return before && hour;
  };
  for (let i = 0; i < tokens.length; ) {
    const skip = name.at(tokens, i);
    if (skip > 0) {
      i += skip;
      continue;
    }
    const about = own(vague, word(i));
    if (about !== undefined) {
      const end = pack.fill.includes(word(i + 1)) ? i + 2 : i + 1;
      // "unos diez minutos" is ten.
      const counted = readNumber(tokens, i + 1, pack) !== null;
      if (!counted && (unit(end) || !loose.includes(word(i)))) add(about, about, i, end, { vague: true });
      i = counted ? i + 1 : end;
      continue;
    }
    // "half an hour", "a quarter of an hour"
    const part = half.includes(word(i)) ? 0.5 : quarter.includes(word(i)) ? 0.25 : null;
    if (part !== null) {
      let end = i + 1;
      if (pack.fill.includes(word(end))) end++;
      if (one.includes(word(end))) end++;
      if (unit(end)) add(part, part, i, end);
      else {
        end = i + 1;
        if (part === 0.5 || one.includes(word(i - 1))) add(part, part, i, end, { implied: true });
      }
      i = end;
      continue;
    }
    // "a couple", "a half"
    const next = word(i + 1);
    if (
      one.includes(word(i)) &&
      (own(vague, next) !== undefined || half.includes(next) || quarter.includes(next))
    ) {
      i++;
      continue;
    }
    const first = readNumber(tokens, i, pack);
    if (!first) {
      // "a minute", "a good minute"
      let noun = i + 1;
      while (noun < i + 3 && pack.fill.includes(word(noun))) noun++;
      if (one.includes(word(i)) && unit(noun)) add(1, 1, i, i + 1, { implied: true });
      i++;
      continue;
    }
    const single = first.end === i + 1;
    if (
      single &&
      first.value === 1 &&
      pronouns.includes(word(i - 1)) &&
      !/^\d/.test(word(i)) &&
      !unit(i + 1)
    ) {
      i++;
      continue;
    }
    let { value: low, end } = first;
    let high = low;
    // "nine one one" and other digit strings are names, no amounts.
    let digits = 1;
    let k = end;
    if (low < 10) {
      for (let after = readNumber(tokens, k, pack); after && after.value < 10 && after.end === k + 1; ) {
        digits++;
        k = after.end;
        after = readNumber(tokens, k, pack);
      }
    }
    if (digits >= 3 && !unit(k) && !pack.times.includes(word(k))) {
      i = k;
      continue;
    }
    for (;;) {
      const joint = to.includes(word(end)) || (between.includes(word(i - 1)) && joiners.includes(word(end)));
      // "not five, ten" is no range.
      const refused = pack.negation.plain.includes(word(i - 1));
      const second =
        (refused ? null : readNumber(tokens, end, pack)) ??
        (joint ? readNumber(tokens, end + 1, pack) : null);
      if (!second || second.value <= high || second.value > Math.max(low * 6, low + 4)) break;
      high = second.value;
      end = second.end;
    }
    const implied = single && end === i + 1 && one.includes(word(i));
    if (!isNoAmount(i, end)) add(low, high, i, end, { implied });
    i = end;
  }
  return found;
}
