import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { listFiles } from '../../src/app/offline/vite-plugin';
import { dist } from '../../src/commands/prepare.mjs';
import { type Device, openDevice } from './chromium';
import { startPractice, until } from './visit';
import { en } from './words';

/* The copy of the app in the browser: whole or not used at all, and changed only while nobody is in a visit. */

let folder: string;
let kiosk: Device;
const open = async () => {
  kiosk = await openDevice({ microphone: 'none', folder, copy: true });
};

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'ownwords-app-'));
  cpSync(dist, folder, { recursive: true });
});
afterEach(async () => {
  await kiosk.close();
  rmSync(folder, { recursive: true });
});

/** What the list of visits says of version and copy, once it says this. */
async function says(page: Page, what: RegExp): Promise<string> {
  await page.getByRole('button', { name: en.visits, exact: true }).click();
  const line = page.getByText(what);
  await line.waitFor();
  const text = await line.textContent();
  await page.getByRole('button', { name: 'Back', exact: true }).click();
  return text ?? '';
}

/** Another build: its page differs, and so do the list in the worker and the version. */
function publish(version: string) {
  const old = listFiles(folder);
  for (const [name, from, to] of [
    ['index.html', /<meta name="build"[^>]*>|(?=<title>)/, `<meta name="build" content="${version}">`],
    ['version.json', /"version":"[^"]*"/, `"version":"${version}"`],
  ] as const)
    writeFileSync(join(folder, name), readFileSync(join(folder, name), 'utf8').replace(from, to));
  let worker = readFileSync(join(folder, 'offline.js'), 'utf8');
  for (const file of listFiles(folder)) {
    const { integrity } = old.find(({ url }) => url === file.url)!;
    worker = worker.replaceAll(integrity, file.integrity);
  }
  writeFileSync(join(folder, 'offline.js'), worker);
}
const lookForNewer = (page: Page) =>
  page.evaluate(async () => void (await navigator.serviceWorker.getRegistration())?.update());
const buildOf = (page: Page) => page.locator('meta[name=build]').getAttribute('content');

test('a newer version comes into use while nobody is in a visit, and never in one; without its server the kiosk goes on', async () => {
  await open();
  const { page } = kiosk;
  await says(page, /so it works without a network/);

  publish('9.0.0');
  await lookForNewer(page);
  await page.waitForSelector('meta[name=build]', { state: 'attached' });
  await until(page, 'the idle screen', ({ screen }) => screen === 'idle');
  expect(await says(page, /so it works without a network/)).toContain('Ownwords 9.0.0.');

  await startPractice(page, en);
  publish('9.1.0');
  await lookForNewer(page);
  await page.waitForFunction(async () => (await navigator.serviceWorker.getRegistration())?.waiting != null);
  // Longer than it takes to look whether a visit runs.
  await page.waitForTimeout(6_000);
  expect(await buildOf(page)).toBe('9.0.0');

  await kiosk.crash();
  await kiosk.unplug();
  await kiosk.reopen();
  await until(kiosk.page, 'the visit', ({ screen, captions }) => screen === 'resume' && captions !== '');
});

test('a file that is not what was built is named, and the copy is not used', async () => {
  const bad = listFiles(folder).find(({ url }) => url.endsWith('.wasm'))!;
  const path = join(folder, bad.url);
  const bytes = readFileSync(path);
  bytes[bytes.length - 1]! ^= 1;
  writeFileSync(path, bytes);
  await open();
  expect(await says(kiosk.page, /not whole: .*\.wasm/)).toContain('needs its server');
});
