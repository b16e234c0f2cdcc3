import { beforeAll, describe, expect, test, vi } from 'vitest';
import { openSphinx } from '../../../../src/commands/listening';
import { dbfs } from '../../../../src/hearing/audio/level';
import { readWav } from '../../../../src/hearing/audio/wav';
import { compileLanguageModel } from '../../../../src/hearing/embedded/sphinx/language-model';
import type { Recogniser, TurnEvent } from '../../../../src/hearing/embedded/sphinx/recogniser';
import { frenchTokens } from '../../../../src/hearing/embedded/sphinx/tokens.fr';
import { skipped } from '../../../skipped';
import { muteAbroad, speakAbroad } from '../../speak';

// A busy machine decodes slower than people speak.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

let recogniser: Recogniser;
beforeAll(async () => {
  recogniser = await openSphinx('fr-FR');
});

const hold = 'je retiens mon souffle dix secondes';
const wash = 'je lave la chambre dans une eau tiède';
const said = (text: string) => readWav(speakAbroad(text, 'fr-fr'));

/** In chunks, as from a microphone. */
function hear(samples: Float32Array, sampleRate: number) {
  const turn = recogniser.turn(sampleRate);
  const events: TurnEvent[] = [];
  for (let at = 0; at < samples.length; at += 800) events.push(...turn.push(samples.slice(at, at + 800)));
  return { events, heard: turn.finish() };
}

/** One of these sentences, whole. */
const oneOf = (...phrases: string[]) =>
  recogniser.expectModel(
    compileLanguageModel([{ phrases, weight: 1 }], {
      tokens: frenchTokens,
      knows: () => true,
      stop: 1e-9,
      backOff: 1e-6,
    }),
  );

test('a recogniser that was not told what to expect says so', () => {
  expect(() => recogniser.turn(16000)).toThrow('what to expect');
});

test('words without a pronunciation anywhere are reported, the others learned from their spelling', () => {
  expect(recogniser.expect({ step: [hold, 'un 吸入器 inhalateur'], module: [] })).toEqual(['吸入器']);
  expect(recogniser.phones('inhalateur')).toBeTruthy();
});

describe.skipIf(muteAbroad)(`with real sound${skipped(muteAbroad)}`, () => {
  test('what was heard so far comes while it is said, with levels, start and end of speech', () => {
    oneOf(hold, wash);
    const { sampleRate, samples } = said(hold);
    expect(dbfs(samples)).toBeGreaterThan(-30);
    const { events, heard } = hear(samples, sampleRate);
    expect(heard?.text).toBe(hold);
    expect(heard?.words?.map(({ word }) => word).join(' ')).toBe(heard?.text);
    expect(events.filter(({ type }) => type === 'level').length).toBeGreaterThan(10);
    expect(events.some(({ type }) => type === 'speech-start')).toBe(true);
  });

  test('is less sure in loud noise than in quiet', () => {
    oneOf(hold, wash);
    const { sampleRate, samples } = said(hold);
    let state = 7;
    const noisy = samples.map((sample) => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return sample + (state / 2 ** 32 - 0.5) * 0.3;
    });
    const clear = hear(samples, sampleRate).heard?.confidence ?? 0;
    expect(clear).toBeGreaterThan(0);
    expect(hear(noisy, sampleRate).heard?.confidence ?? 0).toBeLessThan(clear);
  });

  test('another step is another grammar, and a turn that was cancelled leaves nothing behind', () => {
    oneOf(hold);
    const { sampleRate, samples } = said(hold);
    const cancelled = recogniser.turn(sampleRate);
    cancelled.push(samples);
    cancelled.cancel();
    oneOf(wash, hold);
    const washing = said(wash);
    expect(hear(washing.samples, washing.sampleRate).heard?.text).toBe(wash);
    expect(hear(samples, sampleRate).heard?.text).toBe(hold);
  });
});

test('silence, or no sound at all, is nothing heard', () => {
  recogniser.expect({ step: [hold], module: [] });
  expect(hear(new Float32Array(32000), 16000).heard).toBeUndefined();
  expect(recogniser.turn(16000).finish()).toBeUndefined();
});
