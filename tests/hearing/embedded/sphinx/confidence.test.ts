import { expect, test } from 'vitest';
import {
  signsOf,
  turnConfidence,
  type WordSigns,
  wordConfidences,
} from '../../../../src/hearing/embedded/sphinx/confidence';

const word = (score: number, seconds = 0.3, text = 'shake') => ({ word: text, start: 0, seconds, score });
const always = () => true;
const never = () => false;
/** Free phones fit with this mean log score of a frame. */
const free = (fit: number) => () => fit;
const said: WordSigns = { fit: -0.45, lead: 0.12, seconds: 0.3, before: 1, after: 1 };
const forced: WordSigns = { fit: -0.52, lead: -0.05, seconds: 0.2, before: 1, after: 1 };

test('the lead of a word is how far it fits better than free phones over its own time', () => {
  const [signs] = signsOf([word(Math.exp(-0.15), 0.3)], always, free(-0.6));
  expect(signs).toMatchObject({ before: 1, after: 1, seconds: 0.3 });
  expect(signs!.fit).toBeCloseTo(-0.5);
  expect(signs!.lead).toBeCloseTo(0.1);
  expect(signsOf([word(0.9)], never, () => undefined)[0]).toMatchObject({ lead: 0, before: 0, after: 0 });
});

test('a word is surer the further it fits better than free phones', () => {
  expect(wordConfidences([said])[0]).toBeGreaterThan(wordConfidences([{ ...said, lead: 0 }])[0]!);
});

test('confidences are probabilities, whatever the score', () => {
  for (const score of [0, 1e-9, 0.5, 1])
    for (const seconds of [0, 0.03, 5]) {
      const signs = signsOf([word(score, seconds)], never, free(-0.6));
      for (const confidence of [...wordConfidences(signs), turnConfidence(signs)]) {
        expect(confidence).toBeGreaterThanOrEqual(0);
        expect(confidence).toBeLessThanOrEqual(1);
      }
    }
});

test('a turn of words that were said is sure, words forced on other speech are not', () => {
  const turn = (signs: WordSigns, count = 8) => turnConfidence(Array(count).fill(signs));
  expect(turn(said)).toBeGreaterThan(0.8);
  expect(turn(forced)).toBeLessThan(0.1);
  expect(turnConfidence([])).toBe(0);
});
