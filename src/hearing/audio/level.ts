const FLOOR = -100;

/** Root-mean-square level in dBFS; a full-scale square wave is 0. Silence is -100, not minus infinity. */
export function dbfs(samples: Float32Array): number {
  if (samples.length === 0) return FLOOR;
  let sum = 0;
  for (const sample of samples) sum += sample * sample;
  const level = 10 * Math.log10(sum / samples.length);
  return Number.isFinite(level) ? Math.max(FLOOR, level) : FLOOR;
}
