import { expect, test } from 'vitest';
import { turnConfidence, wordConfidences } from '../../../src/hearing/embedded/confidence';

const word = (score: number, seconds = 0.3, text = 'shake') => ({ word: text, start: 0, seconds, score });
const always = () => true;
const never = () => false;
const one = (score: number, seconds: number, follows: () => boolean) =>
  wordConfidences([word(score, seconds)], follows)[0]!;

test('a word is surer the better its sound fits and when the phrases have it there', () => {
  expect(one(0.95, 0.3, always)).toBeGreaterThan(one(0.8, 0.3, always));
  expect(one(0.9, 0.3, always)).toBeGreaterThan(one(0.9, 0.3, never));
});

test('confidences are probabilities, whatever the score', () => {
  for (const score of [0, 1e-9, 0.5, 1])
    for (const seconds of [0, 0.03, 5]) {
      const confidence = one(score, seconds, never);
      expect(confidence).toBeGreaterThanOrEqual(0);
      expect(confidence).toBeLessThanOrEqual(1);
    }
});

test('a turn of sure words is sure, one of doubtful words is not, and long words count for more', () => {
  const words = [word(0.9, 0.2), word(0.9, 0.6)];
  expect(turnConfidence(words, [0.9, 0.9])).toBeGreaterThan(0.95);
  expect(turnConfidence(words, [0.5, 0.5])).toBeLessThan(0.1);
  expect(turnConfidence(words, [0.5, 0.9])).toBeGreaterThan(turnConfidence(words, [0.9, 0.5]));
  expect(turnConfidence([], [])).toBe(0);
});
