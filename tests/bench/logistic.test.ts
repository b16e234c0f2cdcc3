import { describe, expect, test } from 'vitest';
import { fitted } from './logistic';

describe('a logistic regression', () => {
  test('finds the weights that made the cases', () => {
    // As many of each kind as the weights say: 1 - 2a + b.
    const cases = [-1, -0.5, 0, 0.5, 1].flatMap((a) =>
      [-1, 0, 1].flatMap((b) => {
        const p = 1 / (1 + Math.exp(-(1 - 2 * a + b)));
        return Array.from({ length: 4000 }, (_, i) => ({ clues: [a, b], right: i < 4000 * p }));
      }),
    );
    const weights = fitted(cases);
    expect(weights[0]).toBeCloseTo(1, 2);
    expect(weights[1]).toBeCloseTo(-2, 2);
    expect(weights[2]).toBeCloseTo(1, 2);
  });

  test('has the rate of the cases when no clue says anything', () => {
    const cases = Array.from({ length: 100 }, (_, i) => ({ clues: [i % 2], right: i % 4 < 1 || i % 4 > 2 }));
    const [bias, weight] = fitted(cases);
    expect(1 / (1 + Math.exp(-bias!))).toBeCloseTo(0.5, 6);
    expect(weight).toBeCloseTo(0, 6);
  });
});
