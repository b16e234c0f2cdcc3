import { counts, syllables } from './syllables';

/** What the formulas take. */
export interface Counts {
  sentences: number;
  words: number;
  syllables: number;
  /** Words of three syllables and more. */
  long: number;
}

/** Flesch reading ease, English. Higher is easier. */
export const flesch = ({ sentences, words, syllables }: Counts): number =>
  206.835 - 1.015 * (words / sentences) - 84.6 * (syllables / words);

/** Flesch-Kincaid grade: years of school in the United States. */
export const grade = ({ sentences, words, syllables }: Counts): number =>
  0.39 * (words / sentences) + 11.8 * (syllables / words) - 15.59;

/** SMOG grade; made for 30 sentences and rough for fewer. */
export const smog = ({ sentences, long }: Pick<Counts, 'sentences' | 'long'>): number =>
  1.043 * Math.sqrt(long * (30 / sentences)) + 3.1291;

/** Szigriszt's perspicuity, read on the INFLESZ scale, Spanish: 65 to 80 is fairly easy, over 80 very easy. */
export const inflesz = ({ sentences, words, syllables }: Counts): number =>
  206.835 - 62.3 * (syllables / words) - words / sentences;

/** Fernandez-Huerta reading ease, Spanish, in its consistent form. */
export const fernandezHuerta = ({ sentences, words, syllables }: Counts): number =>
  206.84 - 60 * (syllables / words) - 1.02 * (words / sentences);

/** Kandel-Moles reading ease, French. */
export const kandelMoles = ({ sentences, words, syllables }: Counts): number =>
  207 - 1.015 * (words / sentences) - 73.6 * (syllables / words);

/** Words as they are said; slots must be filled in before. */
export const words = (text: string): string[] => text.match(/[\p{L}\p{N}]+(?:['’-][\p{L}\p{N}]+)*/gu) ?? [];

/** Sentences of a text, with their closing marks. */
export const sentences = (text: string): string[] =>
  text.split(/(?<=[.!?])\s+/u).filter((one) => words(one).length > 0);

/** A name that is taught counts as a word of two syllables at most. */
const nameSize = 2;

/** Counts of a text. `names`: taught as such, see teaching.json. */
export function count(text: string, language = 'en', names: readonly string[] = []): Counts {
  const taught = new Set(names.map((name) => name.toLowerCase()));
  const sizes = words(text).map((word) => {
    const size = syllables(word, language);
    return taught.has(word.toLowerCase()) ? Math.min(size, nameSize) : size;
  });
  return {
    sentences: sentences(text).length,
    words: sizes.length,
    syllables: sizes.reduce((sum, size) => sum + size, 0),
    long: sizes.filter((size) => size >= 3).length,
  };
}

/** How hard a text of a language may be. */
export interface Measure {
  name: string;
  value: (counts: Counts) => number;
  limit: number;
  /** Which side of the limit is easy. */
  easy: 'below' | 'above';
}

const measures: Record<string, Measure[]> = {
  en: [
    { name: 'Flesch-Kincaid grade', value: grade, limit: 6, easy: 'below' },
    { name: 'SMOG grade', value: smog, limit: 6, easy: 'below' },
  ],
  es: [{ name: 'INFLESZ', value: inflesz, limit: 65, easy: 'above' }],
  fr: [{ name: 'Kandel-Moles', value: kandelMoles, limit: 65, easy: 'above' }],
};

/** The measures of a language; none when no formula is known for it. */
export const measuresOf = (language: string): Measure[] =>
  counts(language) ? (measures[language] ?? []) : [];

/** Is a value on the easy side, at one decimal? */
export const isEasy = ({ limit, easy }: Measure, value: number): boolean => {
  const shown = Math.round(value * 10) / 10;
  return easy === 'below' ? shown <= limit : shown >= limit;
};
