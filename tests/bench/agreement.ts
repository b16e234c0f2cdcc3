/** Cohen's kappa of two raters. 1 when both always say the same single thing. */
export function kappa(pairs: readonly (readonly [string, string])[]): number {
  const count = pairs.length;
  if (count === 0) return Number.NaN;
  const first = new Map<string, number>();
  const second = new Map<string, number>();
  let same = 0;
  for (const [a, b] of pairs) {
    first.set(a, (first.get(a) ?? 0) + 1);
    second.set(b, (second.get(b) ?? 0) + 1);
    if (a === b) same++;
  }
  let chance = 0;
  for (const [label, times] of first) chance += (times / count) * ((second.get(label) ?? 0) / count);
  const observed = same / count;
  return chance === 1 ? 1 : (observed - chance) / (1 - chance);
}

/** F1 of one label. Pairs are [true, judged]. */
export function f1(pairs: readonly (readonly [string, string])[], label: string): number {
  let hit = 0;
  let said = 0;
  let there = 0;
  for (const [truth, judged] of pairs) {
    if (truth === label) there++;
    if (judged === label) said++;
    if (truth === label && judged === label) hit++;
  }
  return said + there === 0 ? Number.NaN : (2 * hit) / (said + there);
}

/** Of those whose true label is `from`, the share judged `to`. */
export function passed(pairs: readonly (readonly [string, string])[], from: string, to: string): number {
  const there = pairs.filter(([truth]) => truth === from);
  return there.length === 0 ? Number.NaN : there.filter(([, judged]) => judged === to).length / there.length;
}

/** Expected calibration error in ten bins of confidence. */
export function calibrationError(judged: readonly { confidence: number; right: boolean }[]): number {
  const bins = Array.from({ length: 10 }, () => ({ count: 0, confidence: 0, right: 0 }));
  for (const { confidence, right } of judged) {
    const bin = bins[Math.min(9, Math.max(0, Math.floor(confidence * 10)))]!;
    bin.count++;
    bin.confidence += confidence;
    bin.right += right ? 1 : 0;
  }
  return bins.reduce(
    (sum, bin) => sum + (bin.count ? Math.abs(bin.confidence - bin.right) / judged.length : 0),
    0,
  );
}

/** The q-quantile (0..1) of numbers, by nearest rank. */
export function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(q * sorted.length) - 1))] ?? Number.NaN;
}
