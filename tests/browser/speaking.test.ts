import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { voiceData, voiceScript } from '../../src/speaking/embedded/vite-plugin';
import { type Kiosk, openKiosk } from './chromium';
import type { BenchRequest } from './speaking-page/main';

const folder = mkdtempSync(join(tmpdir(), 'ownwords-voice-bench-'));
const sentences = ['Breathe in slowly and deeply.', 'Then hold your breath for about ten seconds.'];
/** Anything above this is sound. dBFS. */
const floor = -55;

// The same page that a site would serve: built, with its policy, and no network but our own origin.
beforeAll(async () => {
  await build({
    root: fileURLToPath(new URL('speaking-page/', import.meta.url)),
    configFile: false,
    base: './',
    logLevel: 'warn',
    plugins: [voiceData()],
    worker: { format: 'es', plugins: () => [voiceScript()] },
    build: { target: 'es2023', outDir: folder, emptyOutDir: true },
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const speak = (kiosk: Kiosk, request: BenchRequest) =>
  kiosk.page.evaluate((asked) => window.voiceBench.speak(asked), request);

describe('the embedded voice in a real browser', () => {
  let kiosk: Kiosk;
  beforeAll(async () => {
    kiosk = await openKiosk({ microphone: 'none', folder });
    expect(await kiosk.page.evaluate(() => window.voiceBench.available('en'))).toBe(true);
  });
  afterAll(() => kiosk?.close());

  it('sounds, sentence by sentence, for as long as the sentences take', async () => {
    const result = await speak(kiosk, { sentences, voices: 'embedded' });
    expect(result.end).toEqual({ voice: 'embedded', reason: 'finished' });
    expect(result.began).toHaveLength(2);
    const sounding = result.heard.filter((one) => one.dbfs > floor);
    const power = sounding.reduce((sum, one) => sum + 10 ** (one.dbfs / 10), 0) / sounding.length;
    const level = 10 * Math.log10(power);
    expect(level).toBeGreaterThan(-26);
    expect(level).toBeLessThan(-14);
    const length = sounding.at(-1)!.at - sounding[0]!.at;
    expect(length).toBeGreaterThan(3000);
    expect(length).toBeLessThan(8000);
    // The second caption comes after the quiet between the two.
    const between = result.heard.filter(
      (one) => one.at > result.began[1]! - 250 && one.at < result.began[1]! - 50,
    );
    expect(between.every((one) => one.dbfs < floor)).toBe(true);
  });

  it('takes longer when it is asked to go slower', async () => {
    const length = async (rate: number) => {
      const result = await speak(kiosk, { sentences: sentences.slice(0, 1), rate, voices: 'embedded' });
      const sounding = result.heard.filter((one) => one.dbfs > floor);
      return sounding.at(-1)!.at - sounding[0]!.at;
    };
    expect((await length(0.75)) / (await length(1))).toBeGreaterThan(1.15);
  });

  it('is quieter when it is asked to be', async () => {
    const loudest = async (volume: number) => {
      const result = await speak(kiosk, { sentences: sentences.slice(0, 1), volume, voices: 'embedded' });
      return Math.max(...result.heard.map((one) => one.dbfs));
    };
    const difference = (await loudest(1)) - (await loudest(0.25));
    expect(difference).toBeGreaterThan(9);
    expect(difference).toBeLessThan(15);
  });

  it('falls silent within 200 ms when it is stopped', async () => {
    const result = await speak(kiosk, { sentences, abortAfter: 500, voices: 'embedded' });
    expect(result.end).toEqual({ voice: 'embedded', reason: 'aborted' });
    expect(result.heard.some((one) => one.at < result.aborted! && one.dbfs > floor)).toBe(true);
    const after = result.heard.filter((one) => one.at > result.aborted! + 200);
    expect(after.length).toBeGreaterThan(5);
    expect(after.every((one) => one.dbfs < floor)).toBe(true);
    expect(result.began).toHaveLength(1);
  });

  it('speaks Spanish and French', async () => {
    for (const [language, text] of [
      ['es', 'Respire lento y profundo.'],
      ['fr', 'Inspirez lentement et à fond.'],
    ] as const) {
      const result = await speak(kiosk, { sentences: [text], language, voices: 'embedded' });
      expect(result.end).toEqual({ voice: 'embedded', reason: 'finished' });
      expect(Math.max(...result.heard.map((one) => one.dbfs))).toBeGreaterThan(-26);
    }
  });

  it('is what speaks when the computer has no voice of its own', async () => {
    expect(await kiosk.page.evaluate(() => window.voiceBench.voices())).toBe(0);
    const result = await speak(kiosk, { sentences: sentences.slice(0, 1), voices: 'all' });
    expect(result.end).toEqual({ voice: 'embedded', reason: 'finished', detail: 'system: not available' });
  });

  it('keeps to the policy of the site', () => {
    expect(kiosk.errors).toEqual([]);
    expect(kiosk.outside).toEqual([]);
  });
});

describe('when the voice data is missing', () => {
  it('lets the captions go on in silence', async () => {
    const kiosk = await openKiosk({ microphone: 'none', folder, missing: /espeak-ng\.bin/ });
    try {
      const result = await speak(kiosk, { sentences: ['Sit up.', 'Rest.'], voices: 'all' });
      expect(result.end).toMatchObject({ voice: 'none', reason: 'finished' });
      expect(result.end.detail).toContain('embedded: not available');
      expect(result.began).toHaveLength(2);
      expect(result.heard.every((one) => one.dbfs < floor)).toBe(true);
    } finally {
      await kiosk.close();
    }
  });
});
