import { afterEach, expect, test } from 'vitest';
import { bringAxe } from './axe';
import { type Kiosk, openKiosk } from './chromium';
import { panels } from './panels';
import { startPractice, touch, until } from './visit';
import { en } from './words';

/* The built app itself; screens.test.ts goes through all screens in all languages. */

/** What is on screen now, on both panels, and with a device set to light and to dark. */
async function check(screen: string) {
  const { page } = kiosk;
  await bringAxe(page);
  for (const panel of panels) {
    await page.setViewportSize(panel);
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      const rules = colorScheme === 'dark' ? ('of colour' as const) : undefined;
      const found = await page.evaluate((one) => window.barriers(one), rules);
      expect(found, `${screen}, ${colorScheme}, ${panel.width} px wide`).toEqual([]);
    }
  }
}

let kiosk: Kiosk;
afterEach(() => kiosk.close());

test('the screens for staff have no serious barrier', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  await until(kiosk.page, 'the idle screen', ({ screen }) => screen === 'idle');
  await check('idle');
  await kiosk.page.getByRole('button', { name: en.newVisit }).click();
  await until(kiosk.page, 'the form', ({ screen }) => screen === 'start');
  await kiosk.page.locator('form').waitFor();
  await check('start');
  await kiosk.page.getByRole('button', { name: 'Cancel' }).click();
  await kiosk.page.getByRole('button', { name: en.visits }).click();
  await check('visits');
  await kiosk.page.getByRole('button', { name: 'Recorded sentences' }).click();
  await kiosk.page.locator('[data-sentence]').waitFor();
  // One part of it stands for all: hundreds of sentences are slow to check.
  await kiosk.page.locator('select').nth(1).selectOption('When to call');
  await check('recordings');
});

test('the screens for the learner have no serious barrier', async () => {
  kiosk = await openKiosk({ microphone: 'script' });
  await startPractice(kiosk.page);
  const { page } = kiosk;
  const checked = new Set<string>();
  const wanted = new Set(['explain', 'listen', 'cards', 'show-me', 'summary']);
  await touch(
    page,
    ({ screen }) => screen === 'summary',
    90_000,
    async ({ screen }) => {
      if (!wanted.has(screen) || checked.has(screen)) return;
      await check(screen);
      checked.add(screen);
    },
  );
  expect(checked).toEqual(wanted);
});
