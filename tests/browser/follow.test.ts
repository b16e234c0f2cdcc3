import type { Page, Request } from 'playwright-core';
import { afterEach, expect, test } from 'vitest';
import { type Kiosk, openKiosk } from './chromium';
import { press, startPractice, touch } from './visit';
import { en } from './words';

/** The machine may be busy. */
const patience = { timeout: 60_000 };

let kiosk: Kiosk;
afterEach(() => kiosk.close());

test('a following window shows a visit and a call for help, is no kiosk itself, and tells when the kiosk is lost', async () => {
  /** What each of the two windows asks for. */
  const asked = new Map<Page, string[]>();
  const note = (request: Request) => {
    const from = request.serviceWorker() || request.isNavigationRequest() ? null : request.frame().page();
    if (from) asked.set(from, [...(asked.get(from) ?? []), new URL(request.url()).pathname]);
  };
  kiosk = await openKiosk({
    microphone: 'script',
    beforehand(page) {
      page.context().on('request', note);
      return page.clock.install();
    },
  });
  const { page } = kiosk;
  await page.getByRole('button', { name: en.visits }).click();
  const [second] = await Promise.all([
    page.waitForEvent('popup'),
    page.getByRole('button', { name: 'Open a following window' }).click(),
  ]);
  second.on('pageerror', (error) => kiosk.errors.push(String(error)));
  const shows = (what: string) => second.locator(`[data-following="${what}"]`).waitFor();
  await shows('idle');
  await page.getByRole('button', { name: 'Back', exact: true }).click();
  await startPractice(page);
  await touch(page, ({ screen }) => screen === 'explain', 60_000);
  await shows('visit');
  const title = await page.locator('h1').first().textContent();
  await expect.poll(() => second.locator('h1').textContent(), patience).toBe(title);
  await second.locator('img').waitFor();
  await expect
    .poll(
      async () =>
        (await page.locator('[data-captions]').textContent()) ===
        (await second.locator('[data-captions]').textContent()),
      patience,
    )
    .toBe(true);
  expect(await second.getByRole('button').count()).toBe(0);
  await press(page, en.help);
  await shows('help');
  // Nothing is heard there, and the kiosk alone writes to the store.
  const held = await second.evaluate(async () =>
    (await navigator.locks.query()).held?.map(({ name }) => name),
  );
  expect(held).toEqual(['ownwords-writer']);
  const engines = /site\.json$|\.(wasm|ort|onnx|data)$|worker/;
  expect(asked.get(page)?.filter((path) => engines.test(path)).length).toBeGreaterThan(1);
  expect(asked.get(second)?.length).toBeGreaterThan(3);
  expect(asked.get(second)?.filter((path) => engines.test(path))).toEqual([]);

  await page.goto('about:blank');
  await second.clock.fastForward(6_000);
  await second.getByText('Nothing comes from the kiosk any more. Go there.').waitFor();
  await shows('lost');
  expect(await second.getByRole('heading', { name: en.helpTitle }).isVisible()).toBe(true);
  await page.goto(kiosk.address);
  await page.locator('[data-screen]').first().waitFor();
  await expect
    .poll(() => second.locator('[data-following]').getAttribute('data-following'), patience)
    .toBe('visit');
  expect(kiosk.errors).toEqual([]);
});
