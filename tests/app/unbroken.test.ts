import { expect, it } from 'vitest';
import { unbroken } from '../../src/app/shared/unbroken';

it('joins words at their hyphens, and leaves dashes, ranges and signs alone', () => {
  expect(unbroken('Est-ce que vous allez-y ?')).toBe('Est-\u2060ce que vous allez-\u2060y ?');
  expect(unbroken('À la fin - 2-3 fois, -5')).toBe('À la fin - 2-3 fois, -5');
});
