import { afterEach, expect, test } from 'vitest';
import { headers } from '../../src/commands/serve.mjs';
import { type Kiosk, openDevice, openKiosk } from './chromium';
import { attend, passSoundCheck, startPractice } from './visit';
import { en } from './words';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

test('the page, its workers and the browser ask for nothing outside, and the policy is never hit', async () => {
  kiosk = await openDevice({ microphone: 'script' });
  const answer = await kiosk.page.reload();
  expect(answer?.headers()['content-security-policy']).toBe(headers['Content-Security-Policy']);
  await startPractice(kiosk.page);
  await passSoundCheck(kiosk.page);
  // Far enough that voice, microphone and recogniser have all been loaded.
  await attend(kiosk, ({ screen }) => screen === 'listen', 120_000, { hurry: true });
  expect(kiosk.outside).toEqual([]);
  expect(kiosk.errors).toEqual([]);
  const answers = await kiosk.page.evaluate(() =>
    performance.getEntriesByType('resource').map((entry) => new URL(entry.name).origin),
  );
  expect(new Set(answers)).toEqual(new Set([kiosk.address]));
});

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
