import type { Page } from 'playwright-core';
import { afterEach, expect, test } from 'vitest';
import { readJudging } from '../../phrasebanks/read';
import { type Kiosk, openKiosk } from './chromium';
import { chooseLesson, look, type Sight, until } from './visit';
import { en } from './words';

/*
 * One switch and no speech: a step is taught, answered by cards, praised and left behind by nothing but the space
 * bar, pressed when the pointer stands on what is wanted. And a finger that slips, which browsers take for no press.
 */

declare global {
  interface Window {
    /** What the pointer stands on while a choice is made, since when, and was it seen to come there. */
    pointer?: { choice: number; thing: Element | null; since: number; came: boolean };
  }
}

let kiosk: Kiosk;
afterEach(() => kiosk.close());

const step = 'after';
const { concepts } = readJudging('inhaler-spacer', 'en');
const rightCards = Object.keys(concepts)
  .filter((id) => id.startsWith(`inhaler-spacer.${step}.`))
  .map((id) => concepts[id]!.says);

/** A finger put on the middle of a button, which slips by so many px before it is lifted. */
async function slips(page: Page, name: string, by: number) {
  const box = await page.getByRole('button', { name, exact: true }).boundingBox();
  if (!box) throw new Error(`"${name}" is not in sight`);
  const session = await page.context().newCDPSession(page);
  const at = (far: number) => [{ x: box.x + box.width / 2 + far, y: box.y + box.height / 2 + far / 4 }];
  await session.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: at(0) });
  for (let i = 1; i <= 4; i++)
    await session.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: at((by * i) / 4) });
  await session.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await session.detach();
}

/** Fills the form for a visit of one step, as a clinician does for somebody who uses one switch. */
async function startWithSwitch(page: Page) {
  await page.getByRole('button', { name: en.newVisit, exact: true }).waitFor();
  await slips(page, en.newVisit, 60);
  await page.waitForSelector('form');
  await chooseLesson(page, step);
  for (const field of ['name', 'bed', 'staff']) await page.locator(`[name=${field}]`).fill('Practice');
  await page.locator('[name=answers][value=touch]').check();
  await page.locator('[name=switches]').selectOption('one');
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await until(page, 'the visit', ({ screen }) => screen === 'sound-check');
}

/** Milliseconds that the pointer stands on a thing. */
const stands = 400;
let choices = 0;

/**
 * Waits until the pointer comes to one of these, and presses: on one that it is about to leave the press would come too
 * late. @returns which; null: the screen changed before.
 */
async function choose(page: Page, sight: Sight, ...names: string[]): Promise<string | null> {
  const found = await page.waitForFunction(
    ([wanted, screen, choice, longest]) => {
      if (document.querySelector<HTMLElement>('[data-screen]')?.dataset.screen !== screen) return 'gone';
      const thing = document.querySelector('[data-scanned]');
      const now = performance.now();
      const { pointer } = window;
      if (pointer?.choice !== choice) window.pointer = { choice, thing, since: now, came: false };
      else if (pointer.thing !== thing) window.pointer = { choice, thing, since: now, came: true };
      const { came, since } = window.pointer!;
      const text = thing?.textContent?.trim() ?? '';
      // Where there is one thing only, the pointer does not come and go.
      return wanted.includes(text) && (came || now - since > longest) ? text : null;
    },
    [names, sight.screen, ++choices, 3 * stands] as const,
    { timeout: 15_000 },
  );
  const name = (await found.jsonValue()) as string;
  if (name === 'gone') return null;
  await page.keyboard.press('Space');
  return name;
}

test('a whole step by one switch, without speech', async () => {
  kiosk = await openKiosk({ microphone: 'none', site: { timings: { scanItem: stands, scanSettles: 150 } } });
  const { page } = kiosk;
  await startWithSwitch(page);
  const screens = new Set<string>();
  for (let sight = await look(page); sight.screen !== 'show-me'; sight = await look(page)) {
    screens.add(sight.screen);
    if (sight.screen === 'cards') {
      // One point after the other: what fits on this page, then on to the next.
      const open = await page.locator('button[aria-pressed=false]').allTextContents();
      const wanted = open.filter((text) => rightCards.includes(text));
      await choose(page, sight, ...(wanted.length > 0 ? wanted : [en.cardsDone, en.next]));
    } else if (sight.screen === 'sound-check') {
      await choose(page, sight, /question/i.test(sight.captions) ? en.no : en.yes, en.next);
    } else if (sight.screen !== 'think') await choose(page, sight, en.answerNow, en.next);
    else await page.waitForTimeout(50);
  }
  expect([...screens]).toEqual(expect.arrayContaining(['explain', 'cards', 'respond']));
  expect(screens).not.toContain('listen');
  // The focus goes with the pointer, so that a screen reader says it and it is scrolled into sight.
  await page.waitForSelector('[data-scanned]');
  expect(await page.evaluate(() => document.activeElement?.hasAttribute('data-scanned'))).toBe(true);
  // What is for the clinician is passed over.
  for (const button of await page.getByRole('button', { name: en.shown, exact: true }).all())
    expect(await button.getAttribute('data-for-staff')).not.toBe(null);
  expect(kiosk.errors).toEqual([]);
});
