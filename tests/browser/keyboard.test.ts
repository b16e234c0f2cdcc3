import type { Page } from 'playwright-core';
import { afterEach, expect, test } from 'vitest';
import { readTeaching } from '../../phrasebanks/read';
import { bringAxe } from './axe';
import { type Kiosk, openKiosk } from './chromium';
import { focused } from './tabs';
import { amissInTree } from './tree';
import { look, until } from './visit';
import { en } from './words';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

/** Tabs on until what is wanted has the focus. Fails when it comes round without it. */
async function tabTo(
  page: Page,
  wanted: (stop: NonNullable<Awaited<ReturnType<typeof focused>>>) => boolean,
) {
  const been: string[] = [];
  for (let i = 0; i < 80; i++) {
    const stop = await focused(page);
    if (stop && wanted(stop)) {
      expect(stop, 'the focus is in sight').toMatchObject({ ring: true, inSight: true });
      return;
    }
    if (stop) been.push(stop.name || stop.field);
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab did not come to it; it came by: ${been.join(', ')}`);
}
const toButton = (page: Page, ...names: string[]) =>
  tabTo(page, ({ field, name }) => field === 'button' && names.includes(name));
const toField = (page: Page, wanted: string, label = '') =>
  tabTo(page, ({ field, name }) => field === wanted && name.startsWith(label));

test('the form, a whole step, its review and its signing by Tab, Enter, space and arrows alone', async () => {
  kiosk = await openKiosk({ microphone: 'none', size: { width: 1280, height: 800 } });
  const { page } = kiosk;
  await until(page, 'the idle screen', ({ screen }) => screen === 'idle');
  expect(await amissInTree(page, 'en')).toEqual([]);
  await toButton(page, en.newVisit);
  await page.keyboard.press('Enter');
  await page.waitForSelector('form');
  expect(await amissInTree(page, 'en')).toEqual([]);
  const { title, steps } = readTeaching('inhaler-spacer', 'en');
  for (const field of ['name', 'bed', 'staff']) {
    await toField(page, field);
    // Not as fast as a scanner.
    await page.keyboard.type('Practice', { delay: 60 });
  }
  await toField(page, 'answers');
  await page.keyboard.press('ArrowDown');
  await tabTo(page, ({ name }) => name === title);
  await page.keyboard.press('Space');
  for (const [id, step] of Object.entries(steps)) {
    if (id === 'after') continue;
    await tabTo(page, ({ name }) => name === step.title);
    await page.keyboard.press('Space');
  }
  await toButton(page, 'Start');
  await page.keyboard.press('Enter');
  await until(page, 'the visit', ({ screen }) => screen === 'sound-check');
  const screens = new Set<string>();
  let touched = false;
  for (let sight = await look(page); sight.screen !== 'show-me'; sight = await look(page)) {
    screens.add(sight.screen);
    const press = async (key: 'Enter' | 'Space', ...names: string[]) => {
      // The voice may end meanwhile, and another screen come.
      await toButton(page, ...names).catch(async (error) => {
        if ((await look(page)).captions === sight.captions) throw error;
      });
      const on = await focused(page);
      if (on && names.includes(on.name)) await page.keyboard.press(key);
    };
    if (sight.screen === 'cards') {
      if (!touched) {
        await toButton(page, en.useVoice);
        await tabTo(page, ({ field }) => field === 'section');
        await page.keyboard.press('Tab');
        await page.keyboard.press('Space');
        touched = true;
      }
      await press('Enter', en.cardsDone, en.next);
    } else if (sight.screen === 'sound-check') {
      await press('Enter', /question/i.test(sight.captions) ? en.no : en.yes, en.next);
    } else if (sight.screen === 'think') await page.waitForTimeout(50);
    else {
      touched = false;
      await press('Enter', en.next);
    }
  }
  expect([...screens]).toEqual(expect.arrayContaining(['sound-check', 'explain', 'cards', 'respond']));

  await toButton(page, en.showMeDone);
  await page.keyboard.press('Enter');
  for (let sight = await look(page); sight.screen !== 'ended'; sight = await look(page)) {
    await toButton(page, en.no, en.next).catch(() => {});
    const on = await focused(page);
    if (on && [en.no, en.next].includes(on.name)) await page.keyboard.press('Enter');
    await page.waitForTimeout(50);
  }
  await toButton(page, en.clinicianView);
  await page.keyboard.press('Enter');
  await page.locator('[data-screen=review]').waitFor();
  await reviews(page);
  expect(kiosk.errors).toEqual([]);
});

/** A point is decided otherwise, the visit is signed, its handout printed. */
async function reviews(page: Page) {
  await bringAxe(page);
  const noBarrier = async (state: string) => {
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      expect(await page.evaluate(() => window.barriers()), `${state}, ${colorScheme}`).toEqual([]);
    }
  };
  await page.evaluate(() => {
    window.print = () => document.body.setAttribute('data-printed', '');
  });
  await tabTo(page, ({ name }) => name.startsWith('Decide otherwise'));
  await page.keyboard.press('Enter');
  await noBarrier('deciding');
  expect(await amissInTree(page, 'en')).toEqual([]);
  expect(await focused(page)).toMatchObject({ field: 'decision', ring: true, inSight: true });
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowUp');
  await toField(page, 'reason');
  await page.keyboard.type('She showed me.');
  await toField(page, 'by');
  await page.keyboard.type('R. Quillon');
  await page.keyboard.press('Enter');
  await page.locator('td', { hasText: 'The kiosk: needs a person.' }).waitFor();
  expect((await focused(page))?.name).toMatch(/^Decide otherwise/);
  // The name of before stands in the field.
  await toButton(page, 'Sign');
  await page.keyboard.press('Enter');
  await page.locator('pre', { hasText: 'Reviewed and signed by R. Quillon, ' }).waitFor();
  expect(await focused(page)).toMatchObject({
    ...{ name: expect.stringMatching(/^Signed by R\. Quillon, /), inSight: true },
  });
  await noBarrier('signed');
  await toButton(page, 'Print handout');
  await page.keyboard.press('Enter');
  await page.locator('body[data-printed]').waitFor();
}
