import { afterEach, expect, test } from 'vitest';
import { readCommon } from '../../phrasebanks/read';
import { type Kiosk, openKiosk } from './chromium';
import { isOver, look, saveSummary, startPractice, touch, until } from './visit';
import { en, wordsIn } from './words';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

const lang = () => kiosk.page.evaluate(() => document.documentElement.lang);
const heading = () => kiosk.page.locator('h1').textContent();

test('a touch on its name sets the language of the idle screen, another one takes it back', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  const { page } = kiosk;
  await page.getByRole('button', { name: 'Français', exact: true }).click();
  await page.getByText(wordsIn('fr').idleTitle).waitFor();
  expect(await lang()).toBe('fr');
  expect(await page.getByRole('button', { name: 'Français' }).getAttribute('aria-pressed')).toBe('true');
  await page.getByRole('button', { name: 'English', exact: true }).click();
  await page.getByText(en.idleTitle).waitFor();
  expect(await lang()).toBe('en');
});

test('the pages of the staff stay English, whatever the idle screen speaks', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  const { page } = kiosk;
  await page.getByRole('button', { name: 'Español', exact: true }).click();
  await page.getByRole('button', { name: wordsIn('es').newVisit, exact: true }).click();
  await until(page, 'the form', ({ screen }) => screen === 'start');
  await page.locator('form').waitFor();
  expect(await lang()).toBe('en');
  expect(await heading()).toBe('Start a visit');
});

test('a practice visit in Spanish can be done by touch from end to end, with Spanish words only', async () => {
  kiosk = await openKiosk({ microphone: 'script' });
  const { page } = kiosk;
  const words = wordsIn('es');
  await page.getByRole('button', { name: 'Español', exact: true }).click();
  await page.getByText(words.idleTitle).waitFor();
  await startPractice(page, words);
  const { listening, ...labels } = words;
  const known = new Set<string>([...Object.values(labels), ...Object.values(listening)]);
  // What the module itself brings: cards are chosen by what they say.
  const own = '[aria-pressed]';
  const foreign = new Set<string>();
  const screens = new Set<string>();
  await touch(
    page,
    isOver,
    180_000,
    async ({ screen }) => {
      screens.add(screen);
      expect(await lang()).toBe('es');
      const names = await page
        .locator(`button:not(${own})`)
        .evaluateAll((buttons) => buttons.map((one) => one.getAttribute('aria-label') ?? one.textContent));
      for (const name of names) if (!known.has(name.trim())) foreign.add(`${screen}: ${name}`);
    },
    { language: 'es' },
  );
  expect([...foreign]).toEqual([]);
  for (const screen of ['sound-check', 'explain', 'cards', 'show-me', 'summary'])
    expect(screens).toContain(screen);

  const { state, turns, cautions } = await saveSummary(page, undefined, words);
  expect(state).toBe('completed');
  expect(cautions[0]).toBe(readCommon('es').paper.cautions[0]);
  expect(new Set(turns.map(({ step }) => step)).size).toBe(7);

  // The next person is met in the language of the site.
  await page.getByRole('button', { name: words.close, exact: true }).click();
  await until(page, 'the idle screen', ({ screen }) => screen === 'idle');
  await page.getByText(en.idleTitle).waitFor();
  expect(await lang()).toBe('en');
  expect((await look(page)).screen).toBe('idle');
  expect(kiosk.errors).toEqual([]);
});
