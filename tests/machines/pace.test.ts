import { expect, test } from 'vitest';
import { louder, readingTime, slower, stuckAfter } from '../../machines/pace';

test('slower goes down in two steps and no further', () => {
  expect([slower(1), slower(0.75), slower(0.6)]).toEqual([0.75, 0.6, 0.6]);
});

test('louder goes up to full volume and no further', () => {
  expect([louder(0.5), louder(0.8), louder(0.9), louder(1)]).toEqual([0.7, 1, 1, 1]);
});

test('captions without sound stand long enough to be read slowly, at least two seconds', () => {
  expect(readingTime([])).toBe(0);
  expect(readingTime(['Hello.'])).toBe(2000);
  expect(readingTime(['one two three four five', 'six seven eight nine ten'])).toBe(6000);
});

test('a voice is held to be stuck only long after a slow voice would have ended', () => {
  expect(stuckAfter(['one two three'], 1)).toBe(13_000);
  expect(stuckAfter(['one two three'], 0.6)).toBe(15_000);
});
