import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { modules } from '../../phrasebanks/read';
import { buildPage } from './build-page';
import { type Kiosk, openKiosk } from './chromium';

/*
 * Every screen in every language, on a tall panel and on the smallest tablet meant, with the longest texts of each
 * module. SCREENS=<folder> keeps pictures, to be looked at.
 */

const sizes = [
  { width: 1080, height: 1920 },
  { width: 1280, height: 800 },
];
const phrasebanks = new URL('../../phrasebanks/', import.meta.url);
const lessons = modules().flatMap((module) =>
  ['en', 'es', 'fr']
    .filter((language) => existsSync(new URL(`${module}/${language}.teaching.json`, phrasebanks)))
    .map((language) => ({ module, language })),
);
const kept = process.env.SCREENS;
if (kept) mkdirSync(kept, { recursive: true });

let kiosk: Kiosk;
beforeAll(async () => {
  kiosk = await openKiosk({ microphone: 'none', folder: await buildPage('screens') });
});
afterAll(() => kiosk?.close());

/** What does not fit. In the page. */
function misfits(): string[] {
  const found: string[] = [];
  const seen = (element: Element) => element.getClientRects().length > 0;
  const text = (element: Element) => element.textContent?.trim() || element.outerHTML.slice(0, 60);
  const { innerWidth, innerHeight } = window;
  const { scrollWidth, scrollHeight } = document.documentElement;
  if (scrollWidth > innerWidth || scrollHeight > innerHeight)
    found.push(`the page is ${scrollWidth} x ${scrollHeight}`);
  const buttons = [...document.querySelectorAll('button')].filter(seen);
  const boxes = buttons.map((button) => button.getBoundingClientRect());
  buttons.forEach((button, index) => {
    const box = boxes[index]!;
    const what = `"${text(button)}"`;
    if (button.scrollWidth > button.clientWidth + 1 || button.scrollHeight > button.clientHeight + 1)
      found.push(`${what} does not hold its words`);
    if (box.left < 0 || box.right > innerWidth) found.push(`${what} is beside the screen`);
    // 18 mm on the smallest panel.
    if (box.height < 108) found.push(`${what} is ${box.height} high`);
    const scrolls = button.closest('[tabindex="0"]');
    if (!scrolls && (box.top < 0 || box.bottom > innerHeight)) found.push(`${what} is off the screen`);
    boxes.slice(index + 1).forEach((other, offset) => {
      const apart =
        box.right <= other.left ||
        other.right <= box.left ||
        box.bottom <= other.top ||
        other.bottom <= box.top;
      // What scrolls goes under the buttons that stand.
      const together = scrolls === buttons[index + 1 + offset]!.closest('[tabindex="0"]');
      if (together && !apart) found.push(`${what} lies over "${text(buttons[index + 1 + offset]!)}"`);
    });
    for (const word of button.querySelectorAll('span')) {
      const inner = word.getBoundingClientRect();
      if (inner.left < box.left || inner.right > box.right) found.push(`the words of ${what} run out of it`);
    }
  });
  for (const words of document.querySelectorAll('[tabindex="0"]')) {
    if (words.scrollWidth > words.clientWidth) found.push('the words are wider than their room');
    if (words.clientHeight < 200) found.push(`the words have a room of ${words.clientHeight}`);
  }
  for (const captions of document.querySelectorAll('[data-captions]')) {
    const room = captions.closest('[tabindex="0"]')?.getBoundingClientRect();
    const words = document.createRange();
    for (const sentence of captions.querySelectorAll('p'))
      if (sentence.scrollHeight > sentence.clientHeight + 8) found.push(`cut: "${text(sentence)}"`);
    words.selectNodeContents(captions.lastElementChild ?? captions);
    if (room && words.getBoundingClientRect().bottom > room.bottom)
      found.push('what is said is out of sight');
  }
  for (const title of document.querySelectorAll('header p span'))
    if (title.scrollWidth > title.clientWidth) found.push(`the title "${text(title)}" is cut`);
  return found;
}

describe.each(lessons)('the screens of $module in $language', ({ module, language }) => {
  test('hold their words and buttons, large enough and apart', async () => {
    const { page } = kiosk;
    await page.goto(`${kiosk.address}/?module=${module}&language=${language}`);
    await page.waitForSelector('[data-ready]');
    const names = await page.evaluate(() => window.screenNames);
    const found: Record<string, string[]> = {};
    for (const size of sizes) {
      await page.setViewportSize(size);
      for (const name of names) {
        await page.evaluate((one) => window.showScreen(one), name);
        const at = `${name} at ${size.width} x ${size.height}`;
        if (kept) {
          const file = `${module}-${language}-${name}-${size.width}.png`;
          await page.screenshot({ path: join(kept, file) });
        }
        const wrong = await page.evaluate(misfits);
        if (wrong.length > 0) found[at] = wrong;
      }
    }
    expect(found).toEqual({});
    expect(await page.evaluate(() => document.documentElement.lang)).toBe(language);
  });
});
