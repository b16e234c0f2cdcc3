import { beforeAll, describe, expect, test, vi } from 'vitest';
import { openTransformer } from '../../../../src/commands/listening';
import { readWav, type Sound } from '../../../../src/hearing/audio/wav';
import { tokens } from '../../../../src/hearing/embedded/tokens';
import type { TransformerRecogniser } from '../../../../src/hearing/embedded/transformer/recogniser';
import { skipped } from '../../../skipped';
import { mute, speak } from '../../speak';

// A busy machine reads slower than people speak.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

let recogniser: TransformerRecogniser;
beforeAll(async () => {
  recogniser = await openTransformer('en');
});

const answer = { step: ['breathe in slowly', 'hold my breath for ten seconds'], module: [] };

/** In chunks, as from a microphone, with time to think after each. */
async function hear({ samples, sampleRate }: Sound) {
  const turn = recogniser.turn(sampleRate);
  const interims: string[] = [];
  const types: string[] = [];
  for (let at = 0; at < samples.length; at += 800) {
    types.push(...turn.push(samples.slice(at, at + 800)).map(({ type }) => type));
    const interim = await turn.think();
    if (interim) interims.push(interim.heard.text);
  }
  return { types, interims, heard: await turn.finish() };
}

function joined(...sounds: Sound[]): Sound {
  const { sampleRate } = sounds[0]!;
  const parts = sounds.flatMap(({ samples }) => [...samples, ...new Float32Array(sampleRate * 1.5)]);
  return { samples: Float32Array.from(parts), sampleRate };
}

test('a recogniser that was not told what to expect says so', () => {
  expect(() => recogniser.turn(16_000)).toThrow('what to expect');
});

test('silence is nothing', async () => {
  recogniser.expect(answer);
  expect((await hear({ samples: new Float32Array(48_000), sampleRate: 16_000 })).heard).toBeUndefined();
});

describe.skipIf(mute)(`with real sound${skipped(mute)}`, () => {
  test('an answer that no phrase holds is heard, with words and trust', async () => {
    recogniser.expect(answer);
    const { types, heard } = await hear(readWav(speak('Then I breathe in slowly and hold my breath.')));
    expect(tokens(heard?.text ?? '').join(' ')).toBe('then i breathe in slowly and hold my breath');
    expect(heard?.confidence).toBeGreaterThan(0.8);
    expect(heard?.words?.map(({ word }) => word)).toEqual(heard?.text.match(/[\w']+/g));
    expect(types).toContain('speech-start');
    expect(types.filter((type) => type === 'level').length).toBeGreaterThan(10);
  });

  test('what was said before a pause is shown in it, and the end is heard as well', async () => {
    recogniser.expect(answer);
    const { interims, heard } = await hear(
      joined(readWav(speak('I take the cap off.')), readWav(speak('Then I shake it well.'))),
    );
    expect(interims.length).toBeGreaterThan(0);
    expect(tokens(interims[0]!)).toEqual(expect.arrayContaining(['cap', 'off']));
    expect(tokens(heard?.text ?? '')).toEqual(expect.arrayContaining(['cap', 'off', 'shake', 'well']));
  });

  test('the same sound gives the same text, with time to think on the way and without', async () => {
    recogniser.expect(answer);
    const sound = joined(readWav(speak('I breathe out first.')), readWav(speak('I wait a minute.')));
    const turn = recogniser.turn(sound.sampleRate);
    for (let at = 0; at < sound.samples.length; at += 800) turn.push(sound.samples.slice(at, at + 800));
    expect((await hear(sound)).heard).toEqual(await turn.finish());
  });

  test('is less sure in loud noise than in quiet', async () => {
    recogniser.expect(answer);
    const { samples, sampleRate } = readWav(speak('I take off the cap, then I breathe in slowly.'));
    let state = 7;
    const noisy = samples.map((sample) => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return sample + (state / 2 ** 32 - 0.5) * 0.3;
    });
    const clear = (await hear({ samples, sampleRate })).heard?.confidence ?? 0;
    expect(clear).toBeGreaterThan(0.8);
    expect((await hear({ samples: noisy, sampleRate })).heard?.confidence ?? 0).toBeLessThan(clear);
  });

  test('another step has other phrases, and a turn that was cancelled leaves nothing behind', async () => {
    recogniser.expect(answer);
    const cap = readWav(speak('Take off the cap.'));
    const cancelled = recogniser.turn(cap.sampleRate);
    cancelled.push(cap.samples);
    cancelled.cancel();
    recogniser.expect({ step: ['wash the spacer in warm soapy water'], module: answer.step });
    const washed = await hear(readWav(speak('Wash the spacer in warm water.')));
    expect(tokens(washed.heard?.text ?? '').join(' ')).toBe('wash the spacer in warm water');
    expect(tokens((await hear(cap)).heard?.text ?? '').join(' ')).toBe('take off the cap');
  });

  test('with nothing but some words to choose from, one of them is heard', async () => {
    recogniser.expectOnly(['five', 'nine']);
    expect(tokens((await hear(readWav(speak('Nine.')))).heard?.text ?? '')).toEqual(['nine']);
  });
});
