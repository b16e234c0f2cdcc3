import type { CDPSession } from 'playwright-core';
import { afterEach, expect, test } from 'vitest';
import { type Kiosk, openKiosk } from './chromium';
import { chooseLesson, isOver, look, touch, tryPress } from './visit';
import { en } from './words';

/* After a visit the next learner finds nothing of it: not on the screen, nor where a page keeps things, nor in memory. */

let kiosk: Kiosk;
afterEach(() => kiosk.close());

const name = 'Ottoline Varnish';
const said = 'I gargle with marmalade juice';
const button = (label: string) => kiosk.page.getByRole('button', { name: label, exact: true });

/** All that the page holds in memory, as text, after what is not needed has been thrown away. */
async function memory(tools: CDPSession): Promise<string> {
  const parts: string[] = [];
  const take = ({ chunk }: { chunk: string }) => parts.push(chunk);
  tools.on('HeapProfiler.addHeapSnapshotChunk', take);
  await tools.send('HeapProfiler.collectGarbage');
  await tools.send('HeapProfiler.takeHeapSnapshot', { reportProgress: false });
  tools.off('HeapProfiler.addHeapSnapshotChunk', take);
  return parts.join('');
}

test('after a visit the next learner finds nothing of it', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  const { page } = kiosk;
  const tools = await page.context().newCDPSession(page);
  const address = page.url();
  const history = await page.evaluate(() => window.history.length);

  await button(en.newVisit).click();
  await chooseLesson(page, 'after');
  for (const [field, text] of [
    ['name', name],
    ['bed', '12'],
    ['staff', 'R. Quillon'],
  ] as const)
    await page.locator(`[name=${field}]`).fill(text);
  await button('Start').click();
  await touch(page, ({ screen }) => screen === 'cards', 60_000);
  await button(en.typeInstead).click();
  await page.locator('textarea').fill(said);
  await button(en.sendTyped).click();
  await touch(page, ({ screen }) => screen === 'respond' || screen === 'handover', 60_000);
  const during = await memory(tools);
  expect([name, said].filter((text) => during.includes(text))).toEqual([name, said]);

  await touch(page, isOver, 120_000, async () => void (await tryPress(page, en.endVisit)));
  await button(en.close).click();
  await page.locator('[data-screen=idle]').waitFor();

  const text = await page.locator('html').innerHTML();
  const kept = await page.evaluate(async () => ({
    address: location.href,
    history: window.history.length,
    title: document.title,
    local: JSON.stringify({ ...localStorage }),
    session: JSON.stringify({ ...sessionStorage }),
    caches: await caches.keys(),
    voice: speechSynthesis.speaking || speechSynthesis.pending,
    sounds: [...document.querySelectorAll('audio, video')].length,
  }));
  expect(kept).toMatchObject({ address, history, title: 'Ownwords', caches: [], voice: false, sounds: 0 });
  expect([text, kept.local, kept.session].filter((where) => /Ottoline|marmalade/.test(where))).toEqual([]);
  // A sentence that was broken off holds on to who said it for some seconds, until its voice has noticed; to look takes
  // some as well.
  const left = async () => {
    const now = await memory(tools);
    return [name, said, 'marmalade'].filter((words) => now.includes(words));
  };
  await expect.poll(left, { interval: 4_000, timeout: 60_000 }).toEqual([]);

  // Nor by going back, or forward, or loading the page again.
  for (const way of ['goBack', 'goForward', 'reload'] as const) {
    await page[way]().catch(() => null);
    if (page.url() !== address) await page.goto(address);
    await page.locator('[data-screen=idle]').waitFor();
    expect((await look(page)).captions).toBe('');
    expect(await page.locator('html').innerHTML()).not.toMatch(/Ottoline|marmalade/);
  }
});
