import { type DecodedWord, logScore } from './decoder';

/** Heard words as they are written. A word that `joins` the next one makes one with it, with the time and score of both. */
export function writtenWords(words: readonly DecodedWord[], joins: (word: string) => boolean): DecodedWord[] {
  const written: DecodedWord[] = [];
  for (const word of words) {
    const before = written.at(-1);
    if (!before || !joins(before.word)) {
      written.push({ ...word });
      continue;
    }
    before.word += word.word;
    before.seconds = word.start + word.seconds - before.start;
    before.score = Math.exp(logScore(before.score) + logScore(word.score));
  }
  return written;
}

/** The same of words alone, as one text. */
export function writtenText(words: readonly string[], joins: (word: string) => boolean): string {
  return words.map((word, i) => (i === words.length - 1 || joins(word) ? word : `${word} `)).join('');
}
