import { dropAccents } from './accents';

/** Writes the lists of a language pack as its answers are compared: without accents, contractions taken apart. */
export function writer(
  expand: Record<string, string>,
  keep: readonly string[],
): {
  phrase(text: string): string;
  list(text: string): string[];
  table<T>(entries: Record<string, T>): Record<string, T>;
} {
  const phrase = (text: string): string =>
    text
      .toLowerCase()
      .split(/[\s'\u2019-]+/)
      .filter(Boolean)
      .map((word) => dropAccents(word, keep))
      .map((word) => (Object.hasOwn(expand, word) ? (expand[word] ?? word) : word))
      .join(' ');
  return {
    phrase,
    list: (text) => [...new Set(text.split('|').map(phrase).filter(Boolean))],
    table: (entries) =>
      Object.fromEntries(Object.entries(entries).map(([key, value]) => [phrase(key), value])),
  };
}
