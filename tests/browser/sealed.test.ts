import { afterEach, expect, test } from 'vitest';
import { type Kiosk, openDevice, openKiosk } from './chromium';
import { en } from './words';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

test('writing into the form fetches no dictionary from the maker of the browser', async () => {
  kiosk = await openDevice({ microphone: 'none' });
  await kiosk.page.getByRole('button', { name: en.newVisit }).click();
  await kiosk.page.locator('input[name="name"]').fill('');
  await kiosk.page.keyboard.type('Praktis the qwzzt ');
  // With the check of spelling on, it was asked for within a second.
  await kiosk.page.waitForTimeout(3000);
  expect(kiosk.outside).toEqual([]);
});

test('without site.json the kiosk runs on its defaults', async () => {
  kiosk = await openKiosk({ microphone: 'none', missing: /site\.json/ });
  await kiosk.page.getByRole('button', { name: en.practice }).waitFor();
});
