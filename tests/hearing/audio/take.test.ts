import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { join } from '../../../src/hearing/audio/join';
import { dbfs, peakDbfs } from '../../../src/hearing/audio/level';
import { makeTake } from '../../../src/hearing/audio/take';
import { readWav } from '../../../src/hearing/audio/wav';
import { skipped } from '../../skipped';
import { mute, speak } from '../speak';

const rate = 48_000;
const amplitude = (level: number) => 10 ** (level / 20);

/** Noise at a level, the same each time. */
function noise(seconds: number, level: number): Float32Array {
  let state = 12_345;
  return Float32Array.from({ length: Math.round(seconds * rate) }, () => {
    state = (state * 1_103_515_245 + 12_345) % 2 ** 31;
    return (state / 2 ** 30 - 1) * Math.sqrt(3) * amplitude(level);
  });
}

/** Syllables: noise that swells and falls four times a second. */
const voice = (seconds: number, level: number) =>
  noise(seconds, level).map((sample, i) => sample * (0.55 - 0.45 * Math.cos((8 * Math.PI * i) / rate)));

const take = (...pieces: Float32Array[]) => makeTake({ sampleRate: rate, samples: join(...pieces) });
const seconds = ({ sound }: ReturnType<typeof take>) => sound.samples.length / sound.sampleRate;

describe('a recorded sentence', () => {
  test('loses the silence around it, and keeps a little', () => {
    const made = take(noise(2, -70), voice(1.5, -22), noise(3, -70));
    expect(made.verdict).toBe('fine');
    expect(seconds(made)).toBeGreaterThan(1.5);
    expect(seconds(made)).toBeLessThan(1.9);
  });

  test('keeps its pauses', () => {
    const made = take(noise(1, -70), voice(1, -22), noise(0.8, -70), voice(1, -22), noise(1, -70));
    expect(seconds(made)).toBeGreaterThan(2.8);
    expect(seconds(made)).toBeLessThan(3.2);
  });

  test('loses the clicks of the keys that began and ended it', () => {
    const click = noise(0.03, -12);
    const made = take(noise(0.1, -70), click, noise(0.8, -70), voice(1, -22), noise(0.8, -70), click);
    expect(seconds(made)).toBeLessThan(1.5);
    expect(seconds(made)).toBeGreaterThan(1);
  });

  test.each([-34, -24, -14])('comes out at one level, whether it was spoken at %i dBFS', (level) => {
    const { sound } = take(noise(1, -75), voice(2, level), noise(1, -75));
    expect(dbfs(sound.samples)).toBeGreaterThan(-25);
    expect(dbfs(sound.samples)).toBeLessThan(-19);
    expect(peakDbfs(sound.samples)).toBeLessThanOrEqual(-0.9);
  });

  test('begins and ends at nothing, so that it does not crack', () => {
    const { samples } = take(noise(1, -50), voice(1, -22), noise(1, -50)).sound;
    expect([samples[0], samples.at(-1)].map((x) => Math.abs(x!))).toEqual([0, 0]);
  });

  test.each([
    ['nothing at all', [new Float32Array(rate * 2)], 'empty'],
    ['no sound was given', [new Float32Array(0)], 'empty'],
    ['a room', [noise(3, -55)], 'empty'],
    ['a knock', [noise(1, -70), noise(0.05, -10), noise(1, -70)], 'empty'],
    ['a faint voice', [noise(1, -75), voice(1.5, -48), noise(1, -75)], 'too-quiet'],
    ['a voice in a loud room', [noise(1, -34), voice(1.5, -20), noise(1, -34)], 'too-noisy'],
    [
      'a voice that is cut off',
      [noise(1, -70), voice(1.5, 3).map((x) => Math.max(-1, Math.min(1, x))), noise(1, -70)],
      'cut-off',
    ],
    ['a good voice', [noise(1, -70), voice(1.5, -22), noise(1, -70)], 'fine'],
    ['a good voice at once, without a pause before it', [voice(1.5, -22), noise(1, -70)], 'fine'],
  ] as const)('is told apart: %s', (_, pieces, verdict) => {
    expect(take(...pieces).verdict).toBe(verdict);
  });

  test('never breaks, whatever the microphone gave', () => {
    fc.assert(
      fc.property(
        fc.array(fc.float({ min: -1, max: 1, noNaN: true }), { maxLength: 3000 }),
        fc.constantFrom(8000, 44_100, 48_000),
        (samples, sampleRate) => {
          const { sound, verdict } = makeTake({ sampleRate, samples: Float32Array.from(samples) });
          expect(sound.samples.every((x) => Math.abs(x) <= 1)).toBe(true);
          expect(sound.samples.length === 0).toBe(verdict === 'empty');
        },
      ),
    );
  });

  test.skipIf(mute)(`of a real sentence is all there${skipped(mute)}`, () => {
    const said = readWav(speak('Breathe out all the way, then seal your lips around the mouthpiece.', 'slt'));
    const silence = new Float32Array(said.sampleRate);
    const made = makeTake({
      sampleRate: said.sampleRate,
      samples: join(silence, said.samples, silence).map((x, i) => x + 0.0003 * Math.sin(i * 1.7)),
    });
    expect(made.verdict).toBe('fine');
    const lost = said.samples.length / said.sampleRate - seconds(made);
    // The synthesizer itself leaves a quarter of a second of silence at both ends.
    expect(lost).toBeLessThan(0.5);
    expect(lost).toBeGreaterThan(-0.3);
  });
});
