import { rmSync } from 'node:fs';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { buildPage } from './build-page';
import { type Kiosk, type KioskOptions, openKiosk } from './chromium';

let folder = '';
beforeAll(async () => {
  folder = await buildPage('hearing');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function withPage(options: KioskOptions, work: (kiosk: Kiosk) => Promise<void>) {
  const kiosk = await openKiosk({ folder, ...options });
  try {
    await work(kiosk);
  } finally {
    await kiosk.close();
  }
}

const phrases = ['take the cap off', 'shake it well', 'breathe in slowly', 'hold my breath for ten seconds'];

test('the embedded recogniser hears an answer through the microphone', async () => {
  await withPage({ microphone: 'script' }, async ({ page, say, errors }) => {
    expect(await page.evaluate(() => window.hearing?.prepare('en'))).toEqual({ ok: true });
    await page.evaluate((list) => window.hearing?.start(list), phrases);
    await page.waitForFunction(() => window.hearing?.events().some((event) => event.type === 'ready'));
    const played = await say('I take off the cap and then I breathe in slowly.');
    expect(played.streams).toBe(1);
    expect(played.peak).toBeGreaterThan(-30);
    await page.evaluate(() => window.hearing?.done());
    const events = (await page.evaluate(() => window.hearing?.over())) ?? [];
    const levels = events.filter((event) => event.type === 'level').map((event) => event.dbfs);
    expect(Math.max(...levels)).toBeGreaterThan(-30);
    const final = events.find((event) => event.type === 'final');
    console.log(
      final?.heard.text,
      errors,
      events
        .filter((e) => e.type !== 'level')
        .map((event) => (event.type === 'interim' ? event.heard.text : event.type))
        .join('|'),
    );
    expect(final?.heard.text).toBe('i take off the cap and then i breathe in slowly');
    expect(events.at(-1)).toEqual({ type: 'end', reason: 'finished' });
    expect(events.filter((event) => event.type === 'end')).toHaveLength(1);
    expect(await page.evaluate(() => window.scriptedMicrophone?.open())).toBe(0);
    expect(errors).toEqual([]);
  });
});
