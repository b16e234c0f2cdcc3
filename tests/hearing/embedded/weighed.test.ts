import { existsSync, readFileSync } from 'node:fs';
import createModule from 'soundswallower';
import { beforeAll, describe, expect, test } from 'vitest';
import { openDenoiser } from '../../../src/hearing/audio/denoise';
import { dbfs } from '../../../src/hearing/audio/level';
import { readWav, type Sound } from '../../../src/hearing/audio/wav';
import { weighSound } from '../../../src/hearing/audio/weigh';
import { Intake, type IntakeTools } from '../../../src/hearing/embedded/intake';
import type { HearEvent } from '../../../src/hearing/types';
import { skipped } from '../../skipped';
import { mute, speak } from '../speak';

/*
 * Real sound through the real detector of speech: what the sound check would say.
 */

/** Household noise from outside the project (Speech Commands via LCAV/pyroomacoustics, CC BY 4.0). */
const dishes = new URL('../../../../shared/datasets/noise/doing_the_dishes_20s.wav', import.meta.url);
const noNoise = mute || (existsSync(dishes) ? '' : 'the noise of ../shared/datasets is not there');

let tools: IntakeTools;
beforeAll(async () => {
  tools = { module: await createModule(), denoiser: await openDenoiser() };
});

const gain = (decibels: number) => 10 ** (decibels / 20);

/** A second of room, the words at so many dBFS, a second of room; cut off at full scale, 16 bit. */
function inRoom({ samples, sampleRate }: Sound, level: number, room: (i: number) => number): Float32Array {
  const factor = gain(level - dbfs(samples));
  return Float32Array.from({ length: samples.length + 2 * sampleRate }, (_, i) => {
    const sum = (samples[i - sampleRate] ?? 0) * factor + room(i);
    return Math.round(Math.max(-1, Math.min(1, sum)) * 32_767) / 32_768;
  });
}

/** White noise of so many dBFS, the same each time. */
function hiss(level: number): () => number {
  let state = 7;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return (state / 2 ** 32 - 0.5) * gain(level) * Math.sqrt(12);
  };
}

function weighed(sound: Float32Array, sampleRate: number) {
  const intake = new Intake(tools, sampleRate);
  const events: HearEvent[] = [];
  for (let i = 0; i < sound.length; i += 800) events.push(...intake.push(sound.slice(i, i + 800)).events);
  return weighSound(events);
}

const says = ['Yes.', 'Yes, I can hear you well.'].flatMap((text) =>
  ['slt', 'rms', 'awb'].map((voice) => [text, voice] as const),
);

describe.skipIf(mute)(`an answer in the sound check${skipped(mute)}`, () => {
  test.each(says)('"%s" by %s at usual loudness in a quiet room is fine', (text, voice) => {
    const said = readWav(speak(text, voice));
    for (const level of [-20, -26, -34])
      expect(weighed(inRoom(said, level, hiss(-70)), said.sampleRate), `${level} dBFS`).toMatchObject({
        verdict: 'fine',
        noise: expect.closeTo(-70, 0),
      });
  });

  test.each(says)('"%s" by %s far from the microphone is too quiet', (text, voice) => {
    const said = readWav(speak(text, voice));
    for (const level of [-48, -56])
      expect(weighed(inRoom(said, level, hiss(-75)), said.sampleRate)?.verdict, `${level}`).toBe('too-quiet');
  });

  test.each(says)('"%s" by %s that overdrives the microphone is too loud', (text, voice) => {
    const said = readWav(speak(text, voice));
    for (const level of [-8, -2])
      expect(weighed(inRoom(said, level, hiss(-60)), said.sampleRate)?.verdict, `${level}`).toBe('too-loud');
  });

  test.skipIf(noNoise).each(says)(
    `"%s" by %s among dishes is too noisy, however loud they are${skipped(noNoise)}`,
    (text, voice) => {
      const said = readWav(speak(text, voice));
      const noise = readWav(readFileSync(dishes)).samples;
      const among = (below: number) => {
        const factor = gain(-23 - below - dbfs(noise));
        return weighed(
          inRoom(said, -23, (i) => (noise[i % noise.length] ?? 0) * factor),
          said.sampleRate,
        )?.verdict;
      };
      expect([12, 8, 4, 0].map(among)).toEqual(Array(4).fill('too-noisy'));
      expect(among(26)).toBe('fine');
    },
  );
});

test('a silent room is no reason for advice', () => {
  expect(weighed(new Float32Array(48_000), 16_000)?.verdict).toBe('fine');
  const room = hiss(-65);
  expect(weighed(Float32Array.from({ length: 48_000 }, room), 16_000)?.verdict).toBe('fine');
});
