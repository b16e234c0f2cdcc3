import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import type { Rnnoise } from '@shiguredo/rnnoise-wasm';
import createModule, { type SoundSwallowerModule } from 'soundswallower';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Earcon } from '../../machines/services';
import { loudestLevel, renderEarcon } from '../../src/app/services/tones';
import { Cleaner, openDenoiser } from '../../src/hearing/audio/denoise';
import { SpeechDetector } from '../../src/hearing/embedded/detector';
import { loadSynthesizer } from '../../src/speaking/embedded/synthesizer';
import { makePack } from '../../src/speaking/embedded/vite-plugin';

const rate = 16_000;
const names: Earcon[] = ['your-turn', 'heard', 'thinking', 'take-your-time'];
const told: Earcon[] = ['your-turn', 'heard', 'thinking'];

/** Loudness every 10 ms, the loudest 1. */
function envelope(samples: Float32Array, length = 40): number[] {
  const block = rate / 100;
  const found = Array.from({ length }, (_, k) =>
    Math.sqrt(samples.slice(k * block, (k + 1) * block).reduce((sum, x) => sum + x * x, 0) / block),
  );
  const most = Math.max(...found);
  return found.map((one) => one / most);
}

/** Power at a frequency, by the plain sum of Fourier. */
function power(samples: Float32Array, hertz: number): number {
  let re = 0;
  let im = 0;
  for (let i = 0; i < samples.length; i++) {
    re += samples[i]! * Math.cos((2 * Math.PI * hertz * i) / rate);
    im += samples[i]! * Math.sin((2 * Math.PI * hertz * i) / rate);
  }
  return re * re + im * im;
}

describe.each(names)('the earcon "%s"', (name) => {
  const samples = renderEarcon(name, rate);

  test('lasts less than 0.4 s and is not cut off', () => {
    expect(samples.length / rate).toBeLessThan(0.4);
    expect(Math.max(...samples.map(Math.abs))).toBeLessThan(0.7);
    expect(Math.abs(samples.at(-1)!)).toBeLessThan(0.01);
    expect(Math.abs(samples[0]!)).toBeLessThan(0.01);
  });

  test('has its sound between 400 and 2000 Hz', () => {
    let within = 0;
    let all = 0;
    for (let hertz = 20; hertz < 7900; hertz += 20) {
      const here = power(samples, hertz);
      all += here;
      if (hertz >= 400 && hertz <= 2000) within += here;
    }
    expect(within / all).toBeGreaterThan(0.97);
  });
});

test('each has a shape of its own, whatever its pitch', () => {
  const shapes = told.map((name) => envelope(renderEarcon(name, rate)));
  const alike = (a: number[], b: number[]) => {
    const product = (x: number[], y: number[]) => x.reduce((sum, one, k) => sum + one * y[k]!, 0);
    return product(a, b) / Math.sqrt(product(a, a) * product(b, b));
  };
  for (let i = 0; i < shapes.length; i++)
    for (let k = 0; k < i; k++)
      expect(alike(shapes[i]!, shapes[k]!), `${told[i]}, ${told[k]}`).toBeLessThan(0.8);
});

test('how many strokes there are can be counted: two, one, three', () => {
  const strokes = (name: Earcon) => {
    const shape = envelope(renderEarcon(name, rate));
    return shape.filter((one, k) => one >= 0.2 && (shape[k - 1] ?? 0) < 0.2).length;
  };
  expect(told.map(strokes)).toEqual([2, 1, 3]);
});

test('they are as loud as the voice, and the one beside an open ear is far softer', async () => {
  const voice = await loadSynthesizer(makePack().buffer);
  const spoken = [
    ['Step 3 of 7. Breathe in slowly and deeply.', 'en'],
    ['Paso 3 de 7. Respire lento y profundo por la boca.', 'es'],
    ['Étape 3 sur 7. Inspirez lentement et à fond.', 'fr'],
  ].map(([text = '', language = '']) => {
    const { samples, sampleRate } = voice.synthesize(text, language, 1);
    return 20 * Math.log10(loudestLevel(samples, sampleRate));
  });
  const level = (name: Earcon) => 20 * Math.log10(loudestLevel(renderEarcon(name, rate), rate));
  const mean = spoken.reduce((sum, one) => sum + one, 0) / spoken.length;
  for (const name of told)
    expect(Math.abs(level(name) - mean), `${level(name)}, voice ${spoken}`).toBeLessThan(4);
  expect(level('take-your-time')).toBeLessThan(mean - 10);
});

describe('the microphone', () => {
  let module: SoundSwallowerModule;
  let denoiser: Rnnoise;
  beforeAll(async () => {
    denoiser = await openDenoiser();
    const modelBase = join(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model/');
    module = await createModule({ modelBase } as Parameters<typeof createModule>[0]);
  });

  test.each(names)('does not take "%s" for speech, from the loudspeaker at any loudness', (name) => {
    const earcon = renderEarcon(name, rate);
    for (const gain of [1, 0.5, 0.25, 0.1, 0.03]) {
      for (const lead of [0, 800]) {
        const detector = new SpeechDetector(module);
        const cleaner = new Cleaner(denoiser, rate, rate);
        // A room is never quite silent.
        let state = 7;
        const samples = new Float32Array(1.2 * rate).map(() => {
          state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
          return 0.001 * (state / 2 ** 32 - 0.5);
        });
        for (let i = 0; i < earcon.length; i++) samples[lead + i]! += gain * earcon[i]!;
        const changes: string[] = [];
        for (let at = 0; at < samples.length; at += 800) {
          const { filtered, clear } = cleaner.push(samples.slice(at, at + 800));
          changes.push(...detector.push(filtered, clear).changes);
        }
        cleaner.close();
        expect(changes, `${gain} after ${lead / rate} s`).toEqual([]);
      }
    }
  });
});
