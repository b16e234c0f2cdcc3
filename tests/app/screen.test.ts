import { expect, it } from 'vitest';
import { scaleFor } from '../../src/app/shared/screen';

it('draws as it is on the smallest panel meant and on larger ones', () => {
  expect(scaleFor(215, 1280)).toBe(1);
  expect(scaleFor(336, 1080)).toBe(1);
});

it('draws larger where the pixels are smaller, by as much as they are', () => {
  expect(scaleFor(215, 1920)).toBeCloseTo(1.5);
  expect(scaleFor(150, 1280)).toBeCloseTo(215 / 150);
});
