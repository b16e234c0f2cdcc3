import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { languagesOf, modules } from '../../phrasebanks/read';
import { buildPage } from './build-page';
import { type Kiosk, openKiosk } from './chromium';

/*
 * The handout on paper, in every module and language. HANDOUTS=<folder> keeps the files, to be looked at.
 */

let folder = '';
let kiosk: Kiosk;
beforeAll(async () => {
  folder = await buildPage('handout');
  kiosk = await openKiosk({ microphone: 'none', folder });
});
afterAll(async () => {
  await kiosk?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Bytes a handout may have. */
const largest = 300_000;
const kept = process.env.HANDOUTS;
if (kept) mkdirSync(kept, { recursive: true });

async function printed(
  query: string,
  format: 'A4' | 'Letter',
  name: string,
): Promise<{ pages: number; bytes: number }> {
  const address = `${kiosk.address}/?${query}`;
  if (kiosk.page.url() !== address) await kiosk.page.goto(address);
  await kiosk.page.waitForSelector('[data-handout]', { state: 'attached' });
  await kiosk.page.evaluate(() => Promise.all([...document.images].map((image) => image.decode())));
  const pdf = await kiosk.page.pdf({ format, preferCSSPageSize: false, printBackground: true });
  if (kept) writeFileSync(join(kept, `${name}-${format}.pdf`), pdf);
  return { pages: pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0, bytes: pdf.length };
}

const lessons = modules().flatMap((module) => languagesOf(module).map((language) => ({ module, language })));

describe.each(lessons)('the handout of $module in $language', ({ module, language }) => {
  test.each(['A4', 'Letter'] as const)('takes the two sides of a sheet of %s', async (format) => {
    const query = `module=${module}&language=${language}&missed=3`;
    const { pages, bytes } = await printed(query, format, `${module}-${language}`);
    expect(pages).toBe(2);
    expect(bytes).toBeLessThan(largest);
  });

  test('comes in large print, in letters of 18 points, with no line cut off', async () => {
    const query = `module=${module}&language=${language}&missed=3&large`;
    const { pages, bytes } = await printed(query, 'A4', `${module}-${language}-large`);
    expect(pages).toBeGreaterThan(2);
    expect(bytes).toBeLessThan(largest);
    await kiosk.page.emulateMedia({ media: 'print' });
    // A4 between its margins, in CSS pixels.
    await kiosk.page.setViewportSize({ width: 688, height: 1016 });
    const found = await kiosk.page.evaluate(() => {
      const all = [...document.querySelectorAll<HTMLElement>('[data-handout] *')];
      return {
        cut: all
          .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0)
          .map((one) => one.outerHTML.slice(0, 80)),
        smallest: Math.min(...all.map((one) => Number.parseFloat(getComputedStyle(one).fontSize))),
      };
    });
    await kiosk.page.emulateMedia({ media: null });
    expect(found.cut).toEqual([]);
    // 18 points are 24 CSS pixels.
    expect(found.smallest).toBeGreaterThanOrEqual(24);
  });
});
