import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import createModule from 'soundswallower';
import { beforeAll, describe, expect, test, vi } from 'vitest';
import { dbfs } from '../../../src/hearing/audio/level';
import { readWav } from '../../../src/hearing/audio/wav';
import { Decoder } from '../../../src/hearing/embedded/decoder';
import { Recogniser, type TurnEvent } from '../../../src/hearing/embedded/recogniser';
import { mute, speak } from '../speak';

const modelBase = join(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model/');
const phrases = [
  'hold my breath for ten seconds',
  'breathe in slowly',
  'rinse and gargle',
  'take off the cap',
];

// A busy machine decodes slower than people speak.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

let recogniser: Recogniser;
beforeAll(async () => {
  recogniser = await Recogniser.open({ createModule, modelBase }, 'en-US');
});

/** In chunks, as from a microphone. */
function hear(samples: Float32Array, sampleRate: number) {
  const turn = recogniser.turn(sampleRate);
  const events: TurnEvent[] = [];
  for (let at = 0; at < samples.length; at += 800) events.push(...turn.push(samples.slice(at, at + 800)));
  return { events, heard: turn.finish() };
}

test('a recogniser that was not told what to expect says so', async () => {
  expect(() => recogniser.turn(16000)).toThrow('what to expect');
});

test('a language without a model is refused by name', async () => {
  await expect(Decoder.open({ createModule, modelBase }, 'fi')).rejects.toThrow('"fi"');
});

test('a model that is not there is refused', async () => {
  await expect(Decoder.open({ createModule, modelBase: '/nowhere/' }, 'en')).rejects.toThrow();
});

test('words without a pronunciation anywhere are reported, the others learned from their spelling', () => {
  expect(recogniser.expect({ step: [...phrases, 'use the 吸入器 spritzer'], module: [] })).toEqual([
    '吸入器',
  ]);
});

describe.skipIf(mute)('with real sound', () => {
  test('hears an answer that no phrase holds, with levels, start and end of speech', () => {
    recogniser.expect({ step: phrases, module: [] });
    const { sampleRate, samples } = readWav(speak('Then I breathe in slowly and hold my breath.'));
    expect(dbfs(samples)).toBeGreaterThan(-30);
    const { events, heard } = hear(samples, sampleRate);
    expect(heard?.text).toBe('then i breathe in slowly and hold my breath');
    expect(heard?.confidence).toBeGreaterThan(0.5);
    expect(heard?.words?.map(({ word }) => word).join(' ')).toBe(heard?.text);
    expect(events.filter((event) => event.type === 'level').length).toBeGreaterThan(10);
    expect(events.some((event) => event.type === 'speech-start')).toBe(true);
  });

  test('hears a word that it had to learn by its spelling', () => {
    recogniser.expect({ step: phrases, module: [] });
    const { sampleRate, samples } = readWav(speak('Rinse and gargle.'));
    expect(hear(samples, sampleRate).heard?.text).toBe('rinse and gargle');
  });

  test('is less sure in loud noise than in quiet', () => {
    recogniser.expect({ step: phrases, module: [] });
    const { sampleRate, samples } = readWav(speak('I take off the cap, then I breathe in slowly.'));
    let state = 7;
    const noisy = samples.map((sample) => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return sample + (state / 2 ** 32 - 0.5) * 0.3;
    });
    const clear = hear(samples, sampleRate).heard?.confidence ?? 0;
    expect(clear).toBeGreaterThan(0.5);
    expect(hear(noisy, sampleRate).heard?.confidence ?? 0).toBeLessThan(clear);
  });

  test('another step is another grammar, and a turn that was cancelled leaves nothing behind', () => {
    recogniser.expect({ step: phrases, module: [] });
    const { sampleRate, samples } = readWav(speak('Take off the cap.'));
    const cancelled = recogniser.turn(sampleRate);
    cancelled.push(samples);
    cancelled.cancel();
    recogniser.expect({ step: ['wash the spacer in warm soapy water'], module: phrases });
    const wash = readWav(speak('Wash the spacer in warm water.'));
    expect(hear(wash.samples, wash.sampleRate).heard?.text).toBe('wash the spacer in warm water');
    expect(hear(samples, sampleRate).heard?.text).toBe('take off the cap');
  });
});

test('silence, or no sound at all, is nothing heard', () => {
  recogniser.expect({ step: phrases, module: [] });
  expect(hear(new Float32Array(32000), 16000).heard).toBeUndefined();
  const turn = recogniser.turn(16000);
  expect(turn.finish()).toBeUndefined();
});
