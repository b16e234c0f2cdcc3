import type { DecodedWord } from './decoder';

export function wordConfidence(word: DecodedWord): number {
  return Math.min(1, Math.max(0, word.score));
}

export function turnConfidence(words: readonly DecodedWord[]): number {
  let seconds = 0;
  let sum = 0;
  for (const word of words) {
    seconds += word.seconds;
    sum += word.seconds * wordConfidence(word);
  }
  return seconds > 0 ? sum / seconds : 0;
}
