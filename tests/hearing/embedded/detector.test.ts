import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import createModule, { type SoundSwallowerModule } from 'soundswallower';
import { beforeAll, describe, expect, test } from 'vitest';
import { resample } from '../../../src/hearing/audio/resample';
import { readWav } from '../../../src/hearing/audio/wav';
import { SpeechDetector } from '../../../src/hearing/embedded/detector';
import { skipped } from '../../skipped';
import { mute, speak } from '../speak';

let module: SoundSwallowerModule;
beforeAll(async () => {
  const modelBase = join(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model/');
  module = await createModule({ modelBase } as Parameters<typeof createModule>[0]);
});

function detect(samples: Float32Array) {
  const detector = new SpeechDetector(module);
  const changes: string[] = [];
  let kept = 0;
  for (let at = 0; at < samples.length; at += 700) {
    const found = detector.push(samples.slice(at, at + 700));
    changes.push(...found.changes);
    for (const chunk of found.speech) kept += chunk.length;
  }
  for (const chunk of detector.flush()) kept += chunk.length;
  return { changes, seconds: kept / 16000 };
}

let state = 5;
const random = () => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return state / 2 ** 32 - 0.5;
};
const seconds = (length: number, sample: (i: number) => number) =>
  Float32Array.from({ length: length * 16000 }, (_, i) => sample(i));

test.each([
  ['silence', () => 0],
  ['noise', () => 0.03 * random()],
  ['a hum', (i: number) => 0.02 * Math.sin((2 * Math.PI * 60 * i) / 16000)],
  ['a knock', (i: number) => (i > 20000 && i < 21000 ? random() / 2 : 0)],
])('%s is no speech', (_, sample) => {
  expect(detect(seconds(3, sample))).toEqual({ changes: [], seconds: 0 });
});

describe.skipIf(mute)(`with real sound${skipped(mute)}`, () => {
  const said = (text: string, voice: string) => {
    const { sampleRate, samples } = readWav(speak(text, voice));
    return resample(samples, sampleRate, 16000);
  };

  test.each(['yes', 'no', 'help', 'stop'])(
    'a short word, "%s", is found in every voice, quiet or at the very start',
    (word) => {
      for (const voice of ['slt', 'rms', 'awb']) {
        const sound = said(word, voice);
        const padded = new Float32Array(sound.length + 16000);
        padded.set(
          sound.map((sample) => sample * 0.15),
          8000,
        );
        expect(detect(padded).changes[0], voice).toBe('speech-start');
        expect(detect(sound).changes[0], voice).toBe('speech-start');
      }
    },
  );

  test('a long pause is cut down, and speech ends and starts again', () => {
    const sound = said('I breathe in slowly.', 'rms');
    const both = new Float32Array(2 * sound.length + 16000 * 5);
    both.set(sound, 8000);
    both.set(sound, 8000 + sound.length + 16000 * 3);
    const found = detect(both);
    expect(found.changes).toEqual(['speech-start', 'speech-end', 'speech-start', 'speech-end']);
    expect(found.seconds).toBeGreaterThan((2 * sound.length) / 16000 - 0.3);
    expect(found.seconds).toBeLessThan((2 * sound.length) / 16000 + 2);
  });
});
