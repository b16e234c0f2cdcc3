import { expect, test } from 'vitest';
import { bandPowers, EchoGuess, fft, sustained } from './barge-in-signal';

let state = 3;
const random = () => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return state / 2 ** 31 - 1;
};
/** Noise in syllables, so that there is something to find a delay by. */
const syllables = (seconds: number, level: number) =>
  Float32Array.from({ length: seconds * 16_000 }, (_, i) => {
    const swell = Math.max(0, Math.sin(i / 900) * Math.sin(i / 2311));
    return level * swell * random();
  });

test('the transform is that of its definition', () => {
  const input = Float32Array.from({ length: 512 }, random);
  const [real, imaginary] = [Float32Array.from(input), new Float32Array(512)];
  fft(real, imaginary);
  for (const k of [0, 1, 7, 255, 256, 511]) {
    let [re, im] = [0, 0];
    input.forEach((x, i) => {
      re += x * Math.cos((2 * Math.PI * i * k) / 512);
      im -= x * Math.sin((2 * Math.PI * i * k) / 512);
    });
    expect(real[k]).toBeCloseTo(re, 2);
    expect(imaginary[k]).toBeCloseTo(im, 2);
  }
});

test('an echo is explained by what was played, and a voice over it is not', () => {
  const delayed = (sound: Float32Array) => {
    const out = new Float32Array(sound.length + 1600);
    sound.forEach((x, i) => {
      out[i + 1600] = 0.3 * x;
    });
    return out.map((x) => x + 0.0003 * random());
  };
  const calibration = syllables(4, 0.5);
  const guess = new EchoGuess(bandPowers(calibration), bandPowers(delayed(calibration)));
  expect(guess.delay).toBe(10);
  const played = syllables(4, 0.5);
  const most = (heard: Float32Array) =>
    Math.max(
      ...guess.above(bandPowers(played), bandPowers(heard)).map((hop) => hop.filter((x) => x > 6).length),
    );
  expect(most(delayed(played))).toBeLessThan(4);
  const heard = delayed(played);
  for (let i = 30_000; i < 34_000; i++) heard[i]! += 0.5 * random();
  expect(most(heard)).toBeGreaterThan(12);
});

test('a short knock is no voice', () => {
  const hops = (length: number) => Array.from({ length: 60 }, (_, i) => i >= 20 && i < 20 + length);
  expect(sustained(hops(8)).some(Boolean)).toBe(false);
  expect(sustained(hops(14)).indexOf(true)).toBe(29);
});
