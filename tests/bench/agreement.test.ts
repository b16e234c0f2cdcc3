import { describe, expect, it } from 'vitest';
import { calibrationError, f1, kappa, passed, quantile } from './agreement';

/** Cells of a 2 x 2 table -> pairs. */
const table = (yesYes: number, yesNo: number, noYes: number, noNo: number): [string, string][] => [
  ...Array<[string, string]>(yesYes).fill(['yes', 'yes']),
  ...Array<[string, string]>(yesNo).fill(['yes', 'no']),
  ...Array<[string, string]>(noYes).fill(['no', 'yes']),
  ...Array<[string, string]>(noNo).fill(['no', 'no']),
];

describe('agreement', () => {
  it("gives Cohen's kappa of the usual worked example: 20, 5, 10, 15 is 0.40", () => {
    expect(kappa(table(20, 5, 10, 15))).toBeCloseTo(0.4, 10);
  });

  // Viera and Garrett, Family Medicine 2005;37:360-3, quoted from memory.
  it('gives 0.571 for 15, 5, 10, 70', () => {
    expect(kappa(table(15, 5, 10, 70))).toBeCloseTo(0.571, 3);
  });

  it('is 1 for perfect agreement, 0 for chance and below 0 for less', () => {
    expect(kappa(table(10, 0, 0, 10))).toBe(1);
    expect(kappa(table(5, 5, 5, 5))).toBe(0);
    expect(kappa(table(0, 5, 5, 0))).toBeLessThan(0);
  });

  // TP 50, FP 5, FN 5 gives F1 0.909; TP 90, FN 1, FP 9 gives 0.947 (handbook examples beside MCC).
  it('gives F1 of the handbook examples', () => {
    expect(f1(table(50, 5, 5, 40), 'yes')).toBeCloseTo(0.909, 3);
    expect(f1(table(90, 1, 9, 0), 'yes')).toBeCloseTo(0.947, 3);
  });

  it('counts what is passed as something else', () => {
    expect(passed(table(8, 2, 1, 9), 'no', 'yes')).toBeCloseTo(0.1, 10);
  });

  it('is calibrated when confidence is the share that is right', () => {
    const judged = Array.from({ length: 10 }, (_, k) => ({ confidence: 0.8, right: k < 8 }));
    expect(calibrationError(judged)).toBeCloseTo(0, 10);
    expect(calibrationError(judged.map((item) => ({ ...item, right: false })))).toBeCloseTo(0.8, 10);
  });

  it('takes quantiles by nearest rank', () => {
    expect(quantile([5, 1, 3, 2, 4], 0.5)).toBe(3);
    expect(quantile([5, 1, 3, 2, 4], 0.95)).toBe(5);
  });
});
