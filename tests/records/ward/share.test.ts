import { expect, test } from 'vitest';
import { wilson } from '../../../src/records/ward/share';

test('the interval is that of the literature', () => {
  // Newcombe, "Two-sided confidence intervals for the single proportion", Stat Med 1998;17:857-872, table I, method 3;
  // the values as they stand in the tests of others' libraries.
  const table = [
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
    [29, 29, 0.883, 1],
  ] as const;
  for (const [k, n, low, high] of table) {
    expect(wilson({ k, n })!.low, `${k}/${n}`).toBeCloseTo(low, 4);
    expect(wilson({ k, n })!.high, `${k}/${n}`).toBeCloseTo(high, 4);
  }
});

test('its ends are where the score test just does not refuse them', () => {
  // What defines it: (p - x)^2 = z^2 x (1 - x) / n at both ends.
  for (const [k, n] of [
    [1, 3],
    [7, 9],
    [50, 80],
    [499, 500],
  ] as const) {
    const { low, high } = wilson({ k, n })!;
    for (const x of [low, high]) expect(((k / n - x) ** 2 * n) / (x * (1 - x))).toBeCloseTo(1.959964 ** 2, 6);
    expect(low).toBeLessThan(k / n);
    expect(high).toBeGreaterThan(k / n);
  }
});

test('it stays between none and all, and of none there is none', () => {
  for (const n of [1, 2, 5, 1000]) {
    expect(wilson({ k: 0, n })!.low).toBe(0);
    expect(wilson({ k: n, n })!.high).toBe(1);
  }
  expect(wilson({ k: 0, n: 0 })).toBe(null);
});
