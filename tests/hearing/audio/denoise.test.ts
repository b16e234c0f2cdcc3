import { afterEach, beforeAll, expect, test } from 'vitest';
import { Cleaner, openDenoiser } from '../../../src/hearing/audio/denoise';
import { dbfs } from '../../../src/hearing/audio/level';

let denoiser: Awaited<ReturnType<typeof openDenoiser>>;
beforeAll(async () => {
  denoiser = await openDenoiser();
});

let cleaner: Cleaner | undefined;
afterEach(() => cleaner?.close());

/** In chunks, as from a microphone. */
function cleaned(samples: Float32Array, from: number, which: 'filtered' | 'clear' = 'clear'): Float32Array {
  cleaner = new Cleaner(denoiser, from, 16_000);
  const parts: Float32Array[] = [];
  for (let at = 0; at < samples.length; at += 777)
    parts.push(cleaner.push(samples.slice(at, at + 777))[which]);
  parts.push(cleaner.flush()[which]);
  return Float32Array.from(parts.flatMap((part) => [...part]));
}

/** White noise of so many dBFS, the same each time. */
function hiss(seconds: number, rate: number, level: number): Float32Array {
  let state = 7;
  return Float32Array.from({ length: seconds * rate }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return (state / 2 ** 32 - 0.5) * 10 ** (level / 20) * Math.sqrt(12);
  });
}

test.each([16_000, 44_100, 48_000])('sound at %i Hz comes out at 16 kHz and as long as it was', (rate) => {
  const out = cleaned(hiss(2, rate, -40), rate);
  expect(out.length / 16_000).toBeGreaterThanOrEqual(2);
  expect(out.length / 16_000).toBeLessThan(2.06);
});

test('noise alone is taken down by more than 20 dB', () => {
  const out = cleaned(hiss(3, 16_000, -35), 16_000);
  expect(dbfs(out.slice(16_000))).toBeLessThan(-55);
});

test('a quiet room is filtered all the same where speech is looked for', () => {
  const out = cleaned(hiss(3, 16_000, -60), 16_000, 'filtered');
  expect(dbfs(out.slice(32_000))).toBeLessThan(-75);
  expect(dbfs(cleaned(hiss(3, 16_000, -60), 16_000).slice(32_000))).toBeGreaterThan(-62);
});

test('loading it in Node leaves no trace of a worker', () => {
  expect('WorkerGlobalScope' in globalThis).toBe(false);
});

test('the sound of a quiet room comes out as it went in, a fiftieth of a second late', () => {
  const quiet = hiss(3, 16_000, -75);
  const tone = Float32Array.from(quiet, (noise, i) =>
    i < 20_000 ? noise : noise + 0.1 * Math.sin((2 * Math.PI * 440 * i) / 16_000),
  );
  const out = cleaned(tone, 16_000).slice(320);
  const from = 24_000;
  const error = out.slice(from, from + 8000).map((sample, i) => sample - tone[from + i]!);
  expect(dbfs(error)).toBeLessThan(-60);
});

test('silence stays silent', () => {
  expect(Math.max(...cleaned(new Float32Array(16_000), 16_000).map(Math.abs))).toBeLessThan(1e-4);
});
