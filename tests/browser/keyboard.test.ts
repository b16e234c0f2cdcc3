import type { Page } from 'playwright-core';
import { afterEach, describe, expect, test } from 'vitest';
import { readTeaching } from '../../phrasebanks/read';
import { buildPage } from './build-page';
import { type Kiosk, openKiosk } from './chromium';
import { amissInTree } from './tree';
import { look, until } from './visit';
import { en } from './words';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

/** What has the focus: its name, and whether the focus can be seen on it (WCAG 2.2, 2.4.7). */
const focused = (page: Page) =>
  page.evaluate(() => {
    const at = document.activeElement;
    if (!(at instanceof HTMLElement) || at === document.body) return null;
    const box = at.getBoundingClientRect();
    const { outlineStyle, outlineWidth } = getComputedStyle(at);
    const label = at instanceof HTMLInputElement || at instanceof HTMLSelectElement ? at.labels?.[0] : null;
    return {
      name: (label ?? at).textContent?.trim().replace(/\s+/g, ' ') ?? '',
      field: at.getAttribute('name') ?? at.tagName.toLowerCase(),
      ring: outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2,
      inSight: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
    };
  });

/** Tabs from the top through the whole screen, until the focus leaves the page or comes round. */
async function tabStops(page: Page) {
  const stops: NonNullable<Awaited<ReturnType<typeof focused>>>[] = [];
  for (let i = 0; i < 60; i++) {
    // A dialog gives the focus to its first button by itself.
    if (i > 0 || !(await page.evaluate(() => document.activeElement instanceof HTMLButtonElement)))
      await page.keyboard.press('Tab');
    const stop = await focused(page);
    if (!stop) break;
    const first = await page.evaluate(() => {
      const fresh = !document.activeElement?.hasAttribute('data-been');
      document.activeElement?.setAttribute('data-been', '');
      return fresh;
    });
    if (!first) break;
    stops.push(stop);
  }
  await page.evaluate(() => {
    for (const been of document.querySelectorAll('[data-been]')) been.removeAttribute('data-been');
  });
  return stops;
}

describe('every screen of the learner, alone', () => {
  test('has a sound tree for screen readers, and gives every button to the keyboard, in order and in sight', async () => {
    kiosk = await openKiosk({
      microphone: 'none',
      folder: await buildPage('screens'),
      size: { width: 1280, height: 800 },
    });
    const { page } = kiosk;
    const found: Record<string, string[]> = {};
    for (const language of ['en', 'es']) {
      await page.goto(`${kiosk.address}/?module=inhaler-spacer&language=${language}`);
      await page.waitForSelector('[data-ready]');
      for (const name of await page.evaluate(() => window.screenNames)) {
        await page.evaluate((one) => window.showScreen(one), name);
        const wrong = await amissInTree(page, language);
        if (language === 'en') {
          const stops = await tabStops(page);
          const buttons = await page.evaluate(() =>
            [
              ...(document.querySelector('dialog[open]') ?? document).querySelectorAll(
                'button:not([disabled])',
              ),
            ].map((button) => button.textContent?.trim().replace(/\s+/g, ' ')),
          );
          const reached = stops.filter(({ field }) => field === 'button').map((stop) => stop.name);
          if (reached.join() !== buttons.join()) wrong.push(`Tab comes by ${reached.join(', ')}`);
          for (const stop of stops)
            if (!stop.ring || !stop.inSight) wrong.push(`the focus on "${stop.name}" cannot be seen`);
        }
        if (wrong.length > 0) found[`${name} ${language}`] = wrong;
      }
    }
    expect(found).toEqual({});
  });
});

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

test('the form and a whole step by Tab, Enter, space and arrows alone', async () => {
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
    await page.keyboard.type('Practice');
  }
  await toField(page, 'answers');
  await page.keyboard.press('ArrowDown');
  await toField(page, 'select', 'Device');
  await page.keyboard.type(title.slice(0, 12));
  for (const [id, step] of Object.entries(steps)) {
    if (id === 'after') continue;
    await toField(page, 'step', step.title);
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
  expect(kiosk.errors).toEqual([]);
});
