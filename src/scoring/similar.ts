import { doubleMetaphone } from 'double-metaphone';
import { compareTwoStrings } from 'string-similarity';
import { Memo } from './memo';

/** Edits (insert, delete, replace, swap neighbours) from a to b; `limit + 1` once it is clear that it is more. */
export function edits(a: string, b: string, limit = 3): number {
  if (a === b) return 0;
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let twoUp: number[] = [];
  let up = Array.from({ length: b.length + 1 }, (_, k) => k);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    let least = i;
    for (let k = 1; k <= b.length; k++) {
      const same = a[i - 1] === b[k - 1];
      let cost = Math.min(up[k]! + 1, row[k - 1]! + 1, up[k - 1]! + (same ? 0 : 1));
      if (i > 1 && k > 1 && a[i - 1] === b[k - 2] && a[i - 2] === b[k - 1])
        cost = Math.min(cost, twoUp[k - 2]! + 1);
      row.push(cost);
      if (cost < least) least = cost;
    }
    if (least > limit) return limit + 1;
    twoUp = up;
    up = row;
  }
  return up[b.length]!;
}

/** Dice coefficient of letter pairs, 0..1 (string-similarity). */
export const dice = (a: string, b: string): number => compareTwoStrings(a, b);

/** Double Metaphone code of a word: how it sounds. */
export const soundOf = (word: string): string => doubleMetaphone(word)[0];

/** A finder of the known word that a misspelt or misheard one stands for. */
export interface Speller {
  /** The known word, or null when none is near enough. */
  find(word: string): string | null;
}

const shortest = 4;
const letters = /^[\p{L}\p{M}]+$/u;

/** Near is: one edit in 5 letters, two in 8, or the same sound and nearly the same letters. */
function near(word: string, known: string, sameSound: boolean): number {
  const longest = Math.max(word.length, known.length);
  const distance = edits(word, known, 3);
  const alike = dice(word, known);
  if (distance > 3) return 0;
  if (sameSound && distance <= 2 && longest >= shortest) return 0.7 + alike / 4;
  if (longest >= 5 && distance === 1 && Math.min(word.length, known.length) >= 4 && word[0] === known[0])
    return 0.6 + alike / 4;
  if (longest >= 8 && distance <= 2 && alike >= 0.6) return 0.5 + alike / 4;
  if (sameSound && word[0] === known[0] && alike >= 0.4) return 0.4 + alike / 4;
  return 0;
}

/** `targets`: the words to find; `real`: words that are what they are and are never respelt. */
export function speller(targets: Iterable<string>, real: ReadonlySet<string>): Speller {
  const byFirst = new Map<string, string[]>();
  const bySound = new Map<string, string[]>();
  const sounds = new Map<string, string>();
  for (const word of new Set(targets)) {
    if (word.length < shortest || !letters.test(word)) continue;
    const sound = soundOf(word);
    sounds.set(word, sound);
    for (const [index, key] of [
      [byFirst, word[0]!],
      [bySound, sound],
    ] as const) {
      const list = index.get(key) ?? [];
      list.push(word);
      index.set(key, list);
    }
  }
  const nearest = (word: string): string | null => {
    const sound = soundOf(word);
    let best: string | null = null;
    let score = 0;
    for (const known of new Set([...(bySound.get(sound) ?? []), ...(byFirst.get(word[0]!) ?? [])])) {
      const value = near(word, known, sounds.get(known) === sound);
      if (value > score) {
        score = value;
        best = known;
      }
    }
    return best;
  };
  const found = new Memo<string | null>(5_000);
  return {
    find(word) {
      if (word.length < shortest || word.length > 24 || real.has(word) || !letters.test(word)) return null;
      return found.of(word, () => nearest(word));
    },
  };
}
