import { expect, test } from 'vitest';
import { meanCepstrum } from '../../../../src/hearing/embedded/sphinx/cepstrum';

test('bands that are all alike have only a first coefficient, which is the square root of their number times the value', () => {
  // An orthonormal DCT-II keeps energy: 20 bands of 3 have a norm of 3 * sqrt(20).
  const mean = meanCepstrum(new Float32Array(40).fill(3), 20);
  expect(mean).toHaveLength(13);
  expect(mean[0]).toBeCloseTo(3 * Math.sqrt(20));
  for (const value of mean.slice(1)) expect(value).toBeCloseTo(0);
});

test('it is the mean over frames', () => {
  const frames = Float32Array.from({ length: 40 }, (_, i) => (i < 20 ? 2 : 4));
  expect(meanCepstrum(frames, 20)[0]).toBeCloseTo(3 * Math.sqrt(20));
});

test('models differ in their number of bands', () => {
  expect(meanCepstrum(new Float32Array(30).fill(3), 15)[0]).toBeCloseTo(3 * Math.sqrt(15));
});

test('too few bands are refused, no frames give zeros', () => {
  expect(() => meanCepstrum(new Float32Array(40), 10)).toThrow('10 bands');
  expect(meanCepstrum(new Float32Array(0), 20)).toEqual(new Array(13).fill(0));
});
