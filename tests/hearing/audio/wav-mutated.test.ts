import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readWav, writeWav } from '../../../src/hearing/audio/wav';
import { mutatedBytes, mutatedRuns } from '../../mutated';

const good = writeWav({
  sampleRate: 16_000,
  samples: Float32Array.from({ length: 400 }, (_, k) => Math.sin(k / 5) / 2),
});

test('a WAV file that was spoilt is sound, or is refused with a word about the file', () => {
  let refused = 0;
  fc.assert(
    fc.property(mutatedBytes(good), (bytes) => {
      let samples: Float32Array;
      try {
        const sound = readWav(bytes);
        expect(sound.sampleRate).toBeGreaterThan(0);
        samples = sound.samples;
      } catch (error) {
        expect((error as Error).message).toMatch(/^(not a WAV file: |WAV: )\S.{5,}$/);
        refused += 1;
        return;
      }
      expect(samples.length).toBeLessThanOrEqual(bytes.length);
      expect(samples.every((sample) => Math.abs(sample) <= 1)).toBe(true);
    }),
    mutatedRuns(1_000),
  );
  expect(refused).toBeGreaterThan(100);
});
