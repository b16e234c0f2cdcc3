import { readdirSync, rmSync, statSync } from 'node:fs';
import { loadavg } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { CDPSession, Page } from 'playwright-core';
import { build } from '../../src/commands/prepare.mjs';
import { type Device, openDevice } from '../browser/chromium';
import { rue, setFirstSecret } from '../browser/secret';
import { until } from '../browser/visit';
import { en } from '../browser/words';
import { against, figure, shown } from './figures';

/*
 * npm run bench:records: the staff's screens with 5,000 sealed visits of an invented ward, on the built and served app
 * in Debian's Chromium. Goals of our own: the list of visits within 500 ms of the press, the ward view within 1 s once
 * its digests are there. --visits 5000
 */

const { values } = parseArgs({ options: { visits: { type: 'string', default: '5000' } } });
const visits = Number(values.visits);
const rounds = 5;
const { secret } = rue;
const list = '[data-screen=visits] tr[data-visit]';
const ward = '[data-screen=ward] tbody tr';

const calm = () => `load average ${loadavg()[0]!.toFixed(2)}`;
const tell = (what: string) => console.log(`          ${what}`);
/** Printed, and for the table of all benches. */
function found(what: string, value: number, unit: 's' | 'ms' | 'MB'): void {
  const scaled = { s: value / 1000, ms: value, MB: value / 1e6 }[unit];
  tell(`${what}: ${shown(scaled)} ${unit}; ${calm()}`);
  figure(what, scaled, unit);
}
function quick(what: string, times: number[], most: number): void {
  const [middle, slowest] = [times.sort((a, b) => a - b)[times.length >> 1]!, Math.max(...times)];
  against(what, middle, 'ms', { atMost: most });
  if (times.length > 1) tell(`slowest of ${times.length}: ${slowest.toFixed(0)} ms; ${calm()}`);
}

/** From the press on a button until something is drawn, ms of the page's clock. */
const timed = (page: Page, button: string, shown: string) =>
  page.evaluate(
    ([name, selector]) =>
      new Promise<number>((resolve, reject) => {
        const found = [...document.querySelectorAll('button')].find((one) => one.textContent === name);
        if (!found) throw new Error(`there is no button “${name}”`);
        const start = performance.now();
        const look = () => {
          if (document.querySelector(selector))
            requestAnimationFrame(() => resolve(performance.now() - start));
          else if (performance.now() - start > 60_000) reject(new Error(`${selector} did not come`));
          else setTimeout(look);
        };
        found.click();
        look();
      }),
    [button, shown] as const,
  );

const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click();
const fill = (page: Page, field: string, text: string) => page.locator(`[name=${field}]`).fill(text);

/** Until it is there, with a touch now and then, or the records would close. */
async function wait(page: Page, selector: string): Promise<number> {
  const start = Date.now();
  for (;;) {
    if (await page.locator(selector).first().isVisible()) return Date.now() - start;
    if (Date.now() - start > 14 * 60_000) throw new Error(`waited a quarter of an hour for ${selector}`);
    await page.keyboard.press('Shift');
    await page.waitForTimeout(100);
  }
}

const heap = async (session: CDPSession): Promise<number> => {
  await session.send('HeapProfiler.collectGarbage');
  return (await session.send('Runtime.getHeapUsage')).usedSize;
};

const sizeOf = (folder: string): number =>
  readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0);

/** Bytes of the pieces in which digests lie. */
const digestBytes = (page: Page) =>
  page.evaluate(
    () =>
      new Promise<number>((resolve, reject) => {
        const opening = indexedDB.open('ownwords');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const db = opening.result;
          const all = db.transaction('digests').objectStore('digests').getAll();
          all.onerror = () => reject(all.error);
          all.onsuccess = () => {
            db.close();
            resolve(
              (all.result as { bytes: Uint8Array }[]).reduce((sum, { bytes }) => sum + bytes.length, 0),
            );
          };
        };
      }),
  );

/** From the start of the page until the kiosk can be touched, ms. */
async function start(kiosk: Device): Promise<number> {
  await kiosk.page.reload();
  await until(kiosk.page, 'the idle screen', ({ screen }) => screen === 'idle');
  return kiosk.page.evaluate(
    () =>
      new Promise<number>((resolve) => {
        const look = () => {
          if (document.querySelector('[data-screen=idle] button')) resolve(performance.now());
          else requestAnimationFrame(look);
        };
        look();
      }),
  );
}

/** All visits as one file. @returns where it lies */
async function save(page: Page): Promise<string> {
  await press(page, 'Backup and restore');
  await fill(page, 'own', secret);
  const began = Date.now();
  const waiting = page.waitForEvent('download', { timeout: 14 * 60_000 });
  await press(page, 'Save all visits');
  await wait(page, 'text=saved with the downloads');
  const path = await (await waiting).path();
  found('a backup', statSync(path).size, 'MB');
  found('a backup is written', Date.now() - began, 's');
  return path;
}

/** Into a kiosk on which nothing is set up. */
async function restore(file: string): Promise<void> {
  const fresh = await openDevice({ microphone: 'none', size: { width: 1280, height: 800 } });
  try {
    const { page } = fresh;
    await press(page, en.visits);
    await press(page, 'Backup and restore');
    const session = await page.context().newCDPSession(page);
    let began = Date.now();
    await page.locator('input[type=file]').setInputFiles(file);
    await wait(page, 'text=it is whole');
    found('a backup is read through', Date.now() - began, 's');
    await fill(page, 'theirs', secret);
    began = Date.now();
    await press(page, 'Restore');
    await wait(page, 'text=Restored:');
    const said = await page.getByText('Restored:').textContent();
    found(`restored (${said?.trim()})`, Date.now() - began, 's');
    found('memory of the page’s script then', await heap(session), 'MB');
    // As if Chromium had found it damaged: all is put back from the second copy before the first screen.
    await fresh.crash();
    rmSync(join(fresh.profileDir, 'Default', 'IndexedDB'), { recursive: true });
    began = Date.now();
    await fresh.reopen();
    await wait(fresh.page, '[data-screen=idle]');
    found('started, with all put back', Date.now() - began, 's');
    await fresh.page.getByText(`${visits} visits were lost by the browser and put back`).waitFor();
  } finally {
    await fresh.close();
  }
}

if (!build()) process.exit(1);
const kiosk = await openDevice({ microphone: 'none', size: { width: 1280, height: 800 } });
try {
  const before = await start(kiosk);
  await press(kiosk.page, en.visits);
  await setFirstSecret(kiosk.page);
  console.log(`\nAn invented ward of ${visits} sealed visits`);
  await press(kiosk.page, 'Ward');
  await kiosk.page.locator('input[type=number]').fill(`${visits}`);
  await press(kiosk.page, 'Load a sample ward');
  found('all visits stored', await wait(kiosk.page, 'progress[aria-label^=Reading]'), 's');
  found('all digests made for the first time', await wait(kiosk.page, ward), 's');
  await kiosk.page.waitForTimeout(2_000);
  found('on disk', sizeOf(join(kiosk.profileDir, 'Default', 'IndexedDB')), 'MB');
  found('their second copy', sizeOf(join(kiosk.profileDir, 'Default', 'WebStorage')), 'MB');
  found('digests', await digestBytes(kiosk.page), 'MB');

  // What a page holds from before must not make it quicker.
  await kiosk.crash();
  await kiosk.reopen();
  const { page } = kiosk;
  const after = await start(kiosk);
  const session = await page.context().newCDPSession(page);
  const idle = await heap(session);
  found('until the idle screen is there', after, 'ms');
  found('the same with no visit', before, 'ms');
  await press(page, en.visits);
  await fill(page, 'id', rue.id);
  await fill(page, 'secret', secret);
  found('from “Open” to the list, with making a key of the secret', await timed(page, 'Open', list), 'ms');
  found('the ward view at once, while follow-ups are looked for', await timed(page, 'Ward', ward), 'ms');
  await start(kiosk);
  await press(page, en.visits);
  await fill(page, 'id', rue.id);
  await fill(page, 'secret', secret);
  await timed(page, 'Open', list);
  // Staff look at the list; meanwhile the kiosk looks for follow-ups.
  await page.waitForTimeout(8_000);
  const firstWard = await timed(page, 'Ward', ward);
  const lists: number[] = [];
  const wards: number[] = [];
  for (let round = 0; round < rounds; round++) {
    lists.push(await timed(page, 'Back', list));
    wards.push(await timed(page, 'Ward', ward));
  }
  quick('the list of visits', lists, 500);
  quick('the ward view, first time after a start', [firstWard], 1000);
  quick('the ward view', wards, 1000);
  found('memory of the page’s script in the ward view', await heap(session), 'MB');
  found('the same on the idle screen', idle, 'MB');
  await press(page, 'Back');
  const file = await save(page);
  await press(page, 'Back');
  await press(page, 'Ward');
  await wait(page, ward);
  const erased = Date.now();
  await press(page, 'Erase the invented visits');
  await wait(page, 'input[type=number]');
  found('all erased', Date.now() - erased, 's');
  await restore(file);
} finally {
  await kiosk.close();
}
