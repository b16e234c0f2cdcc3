import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type Kiosk, openKiosk } from './chromium';
import { startPractice, touch, until } from './visit';
import { en } from './words';

/*
 * Rules of axe-core for WCAG 2.0 to 2.2, A and AA. Automatic rules find a part of the barriers only.
 */

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

declare global {
  interface Window {
    axe: { run(options: object): Promise<AxeResults> };
  }
}

async function check(screen: string) {
  // Evaluated, not added as a script: the page's policy lets no script in.
  await kiosk.page.evaluate(axe);
  const violations = await kiosk.page.evaluate(async () => {
    const results = await window.axe.run({
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    });
    return results.violations
      .filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 160)).join(' | ')}`);
  });
  expect(violations, screen).toEqual([]);
}

let kiosk: Kiosk;
beforeEach(async () => {
  kiosk = await openKiosk({ microphone: 'script' });
});
afterEach(() => kiosk.close());

test('the screens for staff have no serious barrier', async () => {
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
  await check('recordings');
});

test('the screens for the learner have no serious barrier', async () => {
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
