import { expect, it } from 'vitest';
import { unbroken } from '../../src/app/shared/unbroken';

it('joins words and telephone numbers at their hyphens, and leaves dashes, ranges and signs alone', () => {
  expect(unbroken('Est-ce que vous allez-y ?')).toBe('Est-\u2060ce que vous allez-\u2060y ?');
  expect(unbroken('au 555-0142 ou 800-555-0142')).toBe('au 555-\u20600142 ou 800-\u2060555-\u20600142');
  expect(unbroken('À la fin - 2-3 fois, -5')).toBe('À la fin - 2-3 fois, -5');
});
