import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { words } from '../../../src/content/readability';
import { loadSynthesizer, type Synthesizer } from '../../../src/speaking/embedded/synthesizer';
import { makePack } from '../../../src/speaking/embedded/vite-plugin';

const teaching = JSON.parse(
  readFileSync(new URL('../../../phrasebanks/inhaler-spacer/en.teaching.json', import.meta.url), 'utf8'),
);

/** dB below full scale. */
const loudness = (samples: Float32Array) =>
  10 * Math.log10(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

describe('the embedded voice', () => {
  let voice: Synthesizer;
  beforeAll(async () => {
    voice = await loadSynthesizer(makePack().buffer);
  });

  it('weighs less than 1.2 MB', () => expect(makePack().length).toBeLessThan(1_200_000));

  it.each([
    ['en', 'Breathe in slowly and deeply.'],
    ['en-GB', 'Breathe in slowly and deeply.'],
    ['es', 'Respire lento y profundo por la boca.'],
    ['es-MX', 'Respire lento y profundo por la boca.'],
    ['fr', 'Inspirez lentement et à fond.'],
  ])('speaks %s', (language, text) => {
    const { samples, sampleRate } = voice.synthesize(text, language, 1);
    expect(samples.length / sampleRate).toBeGreaterThan(1);
    expect(loudness(samples)).toBeGreaterThan(-30);
  });

  it('says that it does not speak German', () => {
    expect(voice.speaks('de')).toBe(false);
    expect(() => voice.synthesize('Hallo', 'de', 1)).toThrow('does not speak de');
  });

  it('says a step calmly, loud enough and without clipping', () => {
    const sentences: string[] = teaching.steps.puff.teach;
    let [seconds, peak, power, samples] = [0, 0, 0, 0];
    for (const sentence of sentences) {
      const sound = voice.synthesize(sentence, 'en', 1);
      seconds += sound.samples.length / sound.sampleRate + 0.35;
      for (const x of sound.samples) {
        peak = Math.max(peak, Math.abs(x));
        power += x * x;
      }
      samples += sound.samples.length;
    }
    const pace = (words(sentences.join(' ')).length / seconds) * 60;
    expect(pace).toBeGreaterThan(135);
    expect(pace).toBeLessThan(155);
    expect(peak).toBeLessThan(1);
    const level = 10 * Math.log10(power / samples);
    expect(level).toBeGreaterThan(-23);
    expect(level).toBeLessThan(-17);
  });

  it('speaks more slowly when asked', () => {
    const at = (rate: number) =>
      voice.synthesize('Hold your breath for ten seconds.', 'en', rate).samples.length;
    expect(at(0.75) / at(1)).toBeGreaterThan(1.2);
    expect(at(0.6)).toBeGreaterThan(at(0.75));
  });

  it('takes as long for the same words whatever it said before', () => {
    const length = () => voice.synthesize('Sit up straight.', 'en', 1).samples.length;
    const before = length();
    voice.synthesize('Bonjour.', 'fr', 0.75);
    expect(Math.abs(length() - before) / before).toBeLessThan(0.05);
  });
});
