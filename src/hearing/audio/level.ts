/** dBFS of nothing at all. */
export const SILENCE = -100;

/** Highest sample in dBFS; full scale is 0. Silence is -100. */
export function peakDbfs(samples: Float32Array): number {
  let peak = 0;
  // By index, here and below: going through it by its iterator makes a new object of each sample.
  for (let i = 0; i < samples.length; i++) peak = Math.max(peak, Math.abs(samples[i]!));
  return peak > 0 ? Math.max(SILENCE, 20 * Math.log10(peak)) : SILENCE;
}

/** Root-mean-square level in dBFS; a full-scale square wave is 0. Silence is -100, not minus infinity. */
export function dbfs(samples: Float32Array): number {
  if (samples.length === 0) return SILENCE;
  let sum = 0;
  for (let i = 0; i < samples.length; i++) sum += samples[i]! ** 2;
  const level = 10 * Math.log10(sum / samples.length);
  return Number.isFinite(level) ? Math.max(SILENCE, level) : SILENCE;
}
