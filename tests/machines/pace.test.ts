import { expect, test } from 'vitest';
import {
  faster,
  firstVoice,
  louder,
  normalVoice,
  readingTime,
  slower,
  softer,
  stuckAfter,
  volumes,
} from '../../machines/pace';

test('slower goes down in two steps and no further', () => {
  expect([slower(1), slower(0.75), slower(0.6)]).toEqual([0.75, 0.6, 0.6]);
});

test('faster goes up to a quarter above normal, by the same steps', () => {
  expect([faster(0.6), faster(0.75), faster(1), faster(1.25)]).toEqual([0.75, 1, 1.25, 1.25]);
});

test('louder goes up to full volume and no further', () => {
  expect([louder(0.125), louder(0.5), louder(0.8), louder(1)]).toEqual([0.25, 1, 1, 1]);
});

test('softer goes down to a voice that is still there', () => {
  expect([softer(1), softer(0.5), softer(0.25), softer(0.125)]).toEqual([0.5, 0.25, 0.125, 0.125]);
});

/*
 * EN 301 549 (as quoted on ds.gpii.net): 8.2.1.1, speech output is adjustable over at least 18 dB; 8.2.1.2, an
 * incremental control has an intermediate step 12 dB above the lowest. How loud it is in the room (65 dB SPL, or
 * 20 dB above a noise of more than 45 dB: 49 CFR 27.71 (k)(5)(ii)(B)) depends on the loudspeaker of the site.
 */
test('the voice is adjustable over 18 dB, with a step 12 dB above the lowest', () => {
  const decibels = volumes.map((volume) => 20 * Math.log10(volume / volumes[0]));
  expect(decibels.at(-1)).toBeGreaterThanOrEqual(18);
  expect(decibels.slice(1, -1).some((step) => Math.abs(step - 12) < 0.1)).toBe(true);
  expect(volumes).toContain(normalVoice.volume);
});

test('begins louder for who does not hear well', () => {
  expect(firstVoice({ barriers: ['memory'] })).toEqual(normalVoice);
  expect(firstVoice({ barriers: ['hearing'] })).toEqual({ ...normalVoice, volume: 1 });
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
