import { spawnSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readJudging, readTeaching } from '../../phrasebanks/read';
import { spokenAbout } from '../../phrasebanks/spoken';
import { tokens } from '../../src/hearing/embedded/tokens';
import type { HearEvent } from '../../src/hearing/types';
import { compileStep, judge, languagePack, phrasesFor } from '../../src/scoring';
import { addErrors, wordErrorRate, wordErrors } from '../bench/wer';
import { endOf, types } from '../hearing/collect';
import { contract } from '../hearing/contract';
import { sentences } from '../hearing/sentences';
import { skipped } from '../skipped';
import { buildPage } from './build-page';
import { type Kiosk, openDevice, openKiosk, whileOpen } from './chromium';
import { sayWith } from './voices';

const mute = spawnSync('flite', ['--version']).error ? 'flite is not installed' : '';

const judging = readJudging('inhaler-spacer', 'en');
const concepts = Object.keys(judging.concepts);
const whole = spokenAbout(judging, readTeaching('inhaler-spacer', 'en'));
const conceptsOf = (step: string) => concepts.filter((id) => id.startsWith(`inhaler-spacer.${step}.`));

let folder = '';
beforeAll(async () => {
  folder = await buildPage('hearing');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const start = (page: Page, step = 'puff') =>
  page.evaluate(([name, phrases, all]) => window.hearing.start(name, phrases, all), [
    step,
    phrasesFor(judging, conceptsOf(step)),
    whole,
  ] as const);
const ready = (page: Page) =>
  page.waitForFunction(() =>
    window.hearing.events().some((event) => event.type === 'ready' || event.type === 'end'),
  );
const finish = async (page: Page): Promise<HearEvent[]> => {
  await page.evaluate(() => window.hearing.done());
  return page.evaluate(() => window.hearing.over());
};
const loudest = (events: HearEvent[]) =>
  Math.max(...events.map((event) => (event.type === 'level' ? event.dbfs : -Infinity)));

describe.skipIf(mute)(`the embedded recogniser in Chromium${skipped(mute)}`, () => {
  let kiosk: Kiosk;
  beforeAll(async () => {
    kiosk = await openKiosk({ folder, microphone: 'script' });
    expect(await kiosk.page.evaluate(() => window.hearing.prepare('en'))).toEqual({ ok: true });
  });
  afterAll(() => kiosk?.close());

  const heardBy = new Map<string, string>();
  async function say(text: string, step: string): Promise<HearEvent[]> {
    await start(kiosk.page, step);
    await ready(kiosk.page);
    const played = await kiosk.say(text);
    // The level first: a silent microphone would fail everything after it for the wrong reason.
    expect(played.streams).toBe(1);
    expect(played.peak).toBeGreaterThan(-30);
    const events = await finish(kiosk.page);
    expect(loudest(events)).toBeGreaterThan(-30);
    return events;
  }

  contract(
    'the embedded engine',
    () => ({
      async say(text, { step = 'puff' }) {
        const events = await say(text, step);
        const final = events.find((event) => event.type === 'final');
        heardBy.set(text, final?.heard.text ?? '');
        return events;
      },
      async silence() {
        await start(kiosk.page);
        await ready(kiosk.page);
        await kiosk.page.waitForFunction(
          () => window.hearing.events().filter((event) => event.type === 'level').length > 5,
        );
        const events = await finish(kiosk.page);
        expect(loudest(events)).toBeLessThan(-60);
        return events;
      },
      async abort() {
        await start(kiosk.page);
        await ready(kiosk.page);
        await kiosk.page.evaluate(() => window.hearing.abort());
        return kiosk.page.evaluate(() => window.hearing.over());
      },
    }),
    // One sentence alone may go wrong; what counts is all ten together, below.
    0.65,
  );

  test('of all words of the ten answers, at most a quarter is misheard', () => {
    const all = addErrors(
      sentences.map(({ text }) => wordErrors(tokens(text), tokens(heardBy.get(text) ?? ''))),
    );
    console.log(`words misheard through the microphone: ${(100 * wordErrorRate(all)).toFixed(1)} %`);
    expect(wordErrorRate(all), JSON.stringify([...heardBy.values()])).toBeLessThanOrEqual(0.25);
  });

  test('nine of ten answers are heard well enough to be credited', () => {
    const pack = languagePack('en');
    if (!pack) throw new Error('no English judging');
    const results = sentences.map(({ text, step, concept }) => {
      const heard = heardBy.get(text) ?? '';
      const findings = judge(heard, compileStep(judging, conceptsOf(step), pack), pack);
      const label = findings.find((finding) => finding.concept === concept)?.label;
      // Judged by ear as by text: what the scorer makes of perfect hearing is its own affair.
      return { text, heard, label };
    });
    const credited = results.filter(({ label }) => label === 'understood');
    expect(credited.length, JSON.stringify(results, null, 1)).toBeGreaterThanOrEqual(9);
  });

  test('an answer with a long pause in it is heard on both sides of the pause', async () => {
    await start(kiosk.page, 'puff');
    await ready(kiosk.page);
    await kiosk.say('First I breathe all the way out.');
    await kiosk.page.waitForFunction(() =>
      window.hearing.events().some((event) => event.type === 'speech-end'),
    );
    await kiosk.page.waitForTimeout(1500);
    await kiosk.say('And then I hold my breath for ten seconds.');
    const events = await finish(kiosk.page);
    expect(types(events).filter((type) => type === 'speech-start').length).toBeGreaterThanOrEqual(2);
    const text = events.find((event) => event.type === 'final')?.heard.text;
    expect(text).toContain('breathe');
    expect(text).toContain('ten seconds');
  });

  test('while somebody speaks, what was heard so far comes, and the level many times', async () => {
    const events = await say(
      'I breathe out, close my lips around it, press it once and breathe in slowly.',
      'puff',
    );
    expect(events.filter((event) => event.type === 'interim').length).toBeGreaterThan(0);
    expect(events.filter((event) => event.type === 'level').length).toBeGreaterThan(20);
  });

  test('a turn that is over leaves nothing in the page that still listens', async () => {
    const { page } = kiosk;
    const tools = await page.context().newCDPSession(page);
    await tools.send('Performance.enable');
    const turns = async () => {
      for (let turn = 0; turn < 3; turn++) {
        await start(page);
        await ready(page);
        await page.evaluate(() => window.hearing.abort());
        await page.evaluate(() => window.hearing.over());
      }
    };
    const listeners = async () => {
      await tools.send('HeapProfiler.collectGarbage');
      const { metrics } = await tools.send('Performance.getMetrics');
      return metrics.find(({ name }) => name === 'JSEventListeners')?.value ?? 0;
    };
    await turns();
    // The parts of a microphone go some time after its turn.
    await page.waitForTimeout(2_000);
    const before = await listeners();
    expect(before).toBeGreaterThan(0);
    await turns();
    await expect.poll(listeners, { interval: 500, timeout: 10_000 }).toBeLessThanOrEqual(before);
  });

  test('no turn left its microphone open, and nothing was asked for outside or went wrong', async () => {
    expect(await kiosk.page.evaluate(() => window.scriptedMicrophone?.open())).toBe(0);
    expect(kiosk.outside).toEqual([]);
    expect(kiosk.errors.filter((error) => !error.includes('favicon'))).toEqual([]);
  });
});

test('a refused microphone is denied', async () => {
  await whileOpen(openDevice({ folder, microphone: 'denied' }), async ({ page }) => {
    await start(page);
    const events = await page.evaluate(() => window.hearing.over());
    expect(endOf(events)).toMatchObject({ reason: 'denied', detail: expect.stringContaining('leave') });
    expect(types(events)).toEqual(['end']);
  });
});

test('without a microphone there is no device', async () => {
  await whileOpen(openKiosk({ folder, microphone: 'none' }), async ({ page }) => {
    await start(page);
    const events = await page.evaluate(() => window.hearing.over());
    expect(endOf(events)).toMatchObject({ reason: 'no-device', detail: expect.stringMatching(/\.$/) });
  });
});

test.each([/\/model\/.*decoder.*\.onnx$/, /\.wasm$/, /worker.*\.js$/])(
  'a file that is missing (%s) is a recogniser that does not load, and no microphone is opened',
  async (missing) => {
    await whileOpen(openKiosk({ folder, microphone: 'script', missing }), async ({ page }) => {
      await start(page);
      const events = await page.evaluate(() => window.hearing.over());
      expect(endOf(events)).toMatchObject({
        reason: 'engine-failed',
        detail: expect.stringContaining('did not load'),
      });
      expect(await page.evaluate(() => window.scriptedMicrophone?.open())).toBe(0);
    });
  },
);

test('a track that ends in the middle is an unplugged microphone', async () => {
  await whileOpen(openKiosk({ folder, microphone: 'script' }), async ({ page }) => {
    await page.evaluate(() => {
      const media = navigator.mediaDevices;
      const get = media.getUserMedia.bind(media);
      media.getUserMedia = async (constraints) => {
        const stream = await get(constraints);
        // A script that stops a track gets no event; the device going away does.
        setTimeout(() => stream.getAudioTracks()[0]?.dispatchEvent(new Event('ended')), 300);
        return stream;
      };
    });
    await start(page);
    const events = await page.evaluate(() => window.hearing.over());
    expect(endOf(events)).toMatchObject({
      reason: 'no-device',
      detail: expect.stringContaining('unplugged'),
    });
    expect(await page.evaluate(() => window.scriptedMicrophone?.open())).toBe(0);
  });
});

test.skipIf(mute)(
  `the microphone that Chromium plays from a file is heard as well${skipped(mute)}`,
  async () => {
    const recording = sayWith('rms', 'Then I hold my breath for ten seconds.');
    await whileOpen(openDevice({ folder, microphone: 'file', recording }), async ({ page }) => {
      await page.evaluate(() => window.hearing.prepare('en'));
      await start(page);
      await ready(page);
      await page.waitForFunction(() => window.hearing.events().some((event) => event.type === 'speech-end'));
      const events = await finish(page);
      expect(loudest(events)).toBeGreaterThan(-30);
      expect(events.find((event) => event.type === 'final')?.heard.text).toContain('breath for ten seconds');
    });
  },
);

test('the recogniser of this Chromium, which has no pack, says so at once and sends nothing', async () => {
  await whileOpen(openKiosk({ folder, microphone: 'script' }), async ({ page, outside }) => {
    const there = await page.evaluate(() => window.hearing.browserAvailable('en-US'));
    expect(there).toMatchObject({ ok: false });
    await page.evaluate(() => window.hearing.start('puff', ['hold my breath'], [], 'browser'));
    const events = await page.evaluate(() => window.hearing.over());
    expect(['language-missing', 'engine-failed']).toContain(endOf(events).reason);
    expect(outside).toEqual([]);
  });
});
