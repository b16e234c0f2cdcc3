import { expect, test } from 'vitest';
import { freeFit } from '../../../../src/hearing/embedded/sphinx/phone-loop';

const phone = (start: number, seconds: number, fit: number) => ({
  word: 'phone_aa',
  start,
  seconds,
  score: Math.exp(fit * seconds),
});

test('the fit between two times is the mean over the phones there, by how much of them is there', () => {
  const free = freeFit([phone(0, 0.1, -0.4), phone(0.1, 0.2, -0.6), phone(0.3, 0.1, -0.5)]);
  expect(free(0, 0.1)).toBeCloseTo(-0.4);
  expect(free(0, 0.2)).toBeCloseTo(-0.5);
  expect(free(0, 0.4)).toBeCloseTo((-0.04 - 0.12 - 0.05) / 0.4);
});

test('where nothing was heard there is no fit', () => {
  expect(freeFit([])(0, 1)).toBeUndefined();
  expect(freeFit([phone(0, 0.1, -0.4)])(0.5, 1)).toBeUndefined();
});
