import type { LanguagePack } from './language';
import type { Token } from './normalize';

/** A number said in the answer, as token positions (end exclusive). */
export interface NumberSaid {
  low: number;
  high: number;
  start: number;
  end: number;
  /** "a few", "several": an amount that pins nothing down. */
  vague: boolean;
  /** Said as "a minute": one only because of the unit behind it. */
  implied: boolean;
}

const own = <T>(table: Record<string, T>, word: string | undefined): T | undefined =>
  word !== undefined && Object.hasOwn(table, word) ? table[word] : undefined;

/** One plain number from position i on, or null. "two hundred and five", "20", "1.5", "ten thousand". */
export function readNumber(
  tokens: readonly Token[],
  i: number,
  pack: LanguagePack,
): { value: number; end: number } | null {
  const { units, tens, scales, joiners } = pack.numbers;
  const first = tokens[i]?.word;
  if (first === undefined) return null;
  if (/^\d/.test(first)) {
    const value = Number(
      /^\d{1,3}(,\d{3})+$/.test(first) ? first.replaceAll(',', '') : first.replace(',', '.'),
    );
    return Number.isFinite(value) ? { value, end: i + 1 } : null;
  }
  let total = 0;
  let part = 0;
  let last: 'none' | 'unit' | 'teen' | 'ten' | 'scale' = 'none';
  let lastScale = Number.POSITIVE_INFINITY;
  let k = i;
  let end = i;
  for (; k < tokens.length; k++) {
    const word = tokens[k]!.word;
    const unit = own(units, word);
    const ten = own(tens, word);
    const scale = own(scales, word);
    if (unit !== undefined) {
      if (last === 'unit' || last === 'teen' || (last === 'ten' && (unit >= 10 || unit === 0))) break;
      if (last === 'scale' && unit === 0) break;
      part += unit;
      last = unit >= 10 ? 'teen' : 'unit';
    } else if (ten !== undefined) {
      if (last !== 'none' && last !== 'scale') break;
      part += ten;
      last = 'ten';
    } else if (scale !== undefined) {
      if (last === 'none') break;
      if (scale === 100) {
        if (last === 'scale' || part === 0 || part >= 100) break;
        part *= 100;
      } else {
        if (scale >= lastScale) break;
        total += (part || 1) * scale;
        lastScale = scale;
        part = 0;
      }
      last = 'scale';
    } else if (joiners.includes(word) && last === 'scale') {
      const next = tokens[k + 1]?.word;
      if (own(units, next) === undefined && own(tens, next) === undefined) break;
      continue;
    } else break;
    end = k + 1;
  }
  return end > i ? { value: total + part, end } : null;
}

/** Every number of an answer, ranges joined: "ten to fifteen", "two three", "five or ten", "a couple of". */
export function findNumbers(tokens: readonly Token[], pack: LanguagePack): NumberSaid[] {
  const { vague, to, half, one } = pack.numbers;
  const found: NumberSaid[] = [];
  const unit = (k: number): boolean => {
    const word = tokens[k]?.word;
    return own(pack.durations, word) !== undefined || own(pack.distances, word) !== undefined;
  };
  for (let i = 0; i < tokens.length; ) {
    const word = tokens[i]!.word;
    const loose = own(vague, word);
    if (loose !== undefined) {
      const end = tokens[i + 1]?.word === 'of' ? i + 2 : i + 1;
      found.push({ low: loose, high: loose, start: i, end, vague: true, implied: false });
      i = end;
      continue;
    }
    if (half.includes(word)) {
      let end = i + 1;
      while (one.includes(tokens[end]?.word ?? '') && end < i + 2) end++;
      if (unit(end)) {
        found.push({ low: 0.5, high: 0.5, start: i, end, vague: false, implied: false });
        i = end;
        continue;
      }
    }
    const first = readNumber(tokens, i, pack);
    if (!first) {
      if (one.includes(word) && unit(i + 1))
        found.push({ low: 1, high: 1, start: i, end: i + 1, vague: false, implied: true });
      i++;
      continue;
    }
    let { value: low, end } = first;
    let high = low;
    // "nine one one" and other digit strings are names, no amounts.
    let digits = 1;
    let k = end;
    if (low < 10) {
      for (let next = readNumber(tokens, k, pack); next && next.value < 10 && next.end === k + 1; ) {
        digits++;
        k = next.end;
        next = readNumber(tokens, k, pack);
      }
    }
    if (digits >= 3 && !unit(k)) {
      i = k;
      continue;
    }
    const second =
      readNumber(tokens, end, pack) ??
      (to.includes(tokens[end]?.word ?? '') ? readNumber(tokens, end + 1, pack) : null);
    if (second && second.value > low && second.value <= Math.max(low * 6, low + 4)) {
      high = second.value;
      end = second.end;
    } else if (unit(end) && to.includes(tokens[end + 1]?.word ?? '')) {
      // "ten seconds or fifteen seconds" stays two mentions.
    }
    found.push({ low, high, start: i, end, vague: false, implied: false });
    i = end;
  }
  return found;
}
