import { expect, test } from 'vitest';
import { dbfs } from '../../../src/hearing/audio/level';

test('a full-scale square wave is 0 dBFS, a full-scale sine 3 dB less', () => {
  // Plain RMS: the mean square of a sine is half its peak squared, 10 log10(1/2) = -3.01 dB.
  expect(dbfs(Float32Array.of(1, -1, 1, -1))).toBe(0);
  const sine = Float32Array.from({ length: 1600 }, (_, i) => Math.sin((2 * Math.PI * i) / 160));
  expect(dbfs(sine)).toBeCloseTo(-3.01, 2);
  expect(dbfs(sine.map((sample) => sample / 10))).toBeCloseTo(-23.01, 2);
});

test('silence and nothing are -100, not minus infinity', () => {
  expect(dbfs(new Float32Array(100))).toBe(-100);
  expect(dbfs(new Float32Array(0))).toBe(-100);
});
