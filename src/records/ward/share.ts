/** So many of so many. */
export interface Share {
  k: number;
  n: number;
}

/** The 0.975 quantile of the normal distribution: an interval of 95 %. */
const z = 1.959964;

/**
 * Between which shares the true one may lie, 95 %: the score interval of Wilson (1927), without correction. It
 * supposes that each of the n is independent of the others. null: there are none.
 */
export function wilson({ k, n }: Share): { low: number; high: number } | null {
  if (n === 0) return null;
  const p = k / n;
  const middle = (p + z ** 2 / (2 * n)) / (1 + z ** 2 / n);
  const half = (z / (1 + z ** 2 / n)) * Math.sqrt((p * (1 - p)) / n + z ** 2 / (4 * n ** 2));
  // At none and at all the formula gives 0 and 1, but for the last bit.
  return { low: k === 0 ? 0 : middle - half, high: k === n ? 1 : middle + half };
}
