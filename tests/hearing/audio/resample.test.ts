import { describe, expect, test } from 'vitest';
import { dbfs } from '../../../src/hearing/audio/level';
import { Resampler, resample } from '../../../src/hearing/audio/resample';

const tone = (hz: number, rate: number, seconds = 0.5) =>
  Float32Array.from({ length: rate * seconds }, (_, i) => 0.5 * Math.sin((2 * Math.PI * hz * i) / rate));
const middle = (samples: Float32Array) => samples.subarray(samples.length / 4, (samples.length * 3) / 4);

describe.each([8000, 11025, 22050, 44100, 48000, 96000])('from %i Hz to 16000 Hz', (rate) => {
  test('a tone of 1 kHz keeps its shape, in place', () => {
    const out = resample(tone(1000, rate), rate, 16000);
    const ideal = tone(1000, 16000);
    expect(Math.abs(out.length - ideal.length)).toBeLessThanOrEqual(2);
    const errors = middle(ideal.map((sample, i) => sample - (out[i] ?? 0)));
    expect(dbfs(errors)).toBeLessThan(-60);
  });

  test('in chunks it is the same as at once', () => {
    const whole = resample(tone(700, rate), rate, 16000);
    const resampler = new Resampler(rate, 16000);
    const parts: number[] = [];
    const input = tone(700, rate);
    for (let at = 0; at < input.length; at += 777)
      parts.push(...resampler.push(input.subarray(at, at + 777)));
    parts.push(...resampler.flush());
    expect(parts.length).toBe(whole.length);
    expect(Math.max(...parts.map((sample, i) => Math.abs(sample - whole[i]!)))).toBeLessThan(1e-5);
  });
});

test('what the lower rate cannot hold is taken out, not folded back', () => {
  expect(dbfs(middle(resample(tone(12000, 48000), 48000, 16000)))).toBeLessThan(-60);
});

test('rates that are none are refused', () => {
  expect(() => new Resampler(0, 16000)).toThrow('0 Hz');
});
