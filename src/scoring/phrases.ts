import type { Token } from './normalize';

/** Finds any of a list of word sequences. Longest first. */
export interface PhraseFinder {
  /** Words of the phrase that stands at position i, or 0. */
  at(tokens: readonly Token[], i: number): number;
}

export function phraseFinder(phrases: readonly string[]): PhraseFinder {
  const byFirst = new Map<string, string[][]>();
  for (const phrase of phrases) {
    const words = phrase.split(' ').filter(Boolean);
    const first = words[0];
    if (first === undefined) continue;
    const list = byFirst.get(first) ?? [];
    list.push(words);
    list.sort((a, b) => b.length - a.length);
    byFirst.set(first, list);
  }
  return {
    at(tokens, i) {
      const list = byFirst.get(tokens[i]?.word ?? '');
      if (!list) return 0;
      for (const words of list) {
        if (words.every((word, k) => tokens[i + k]?.word === word)) return words.length;
      }
      return 0;
    },
  };
}
