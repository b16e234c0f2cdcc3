import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { afterEach, expect, test } from 'vitest';
import { readCommon } from '../../phrasebanks/read';
import { skipped } from '../skipped';
import { type Kiosk, openDevice, openKiosk } from './chromium';
import { look, press, startPractice, until } from './visit';
import { sayWith } from './voices';
import { wordsIn } from './words';

const mute = ['flite', 'sox'].some((program) => spawnSync(program, ['--version']).error)
  ? 'needs flite and sox'
  : '';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

/** "Yes." at so many decibels more or less than the voice has. */
async function sayYes(decibels: number): Promise<void> {
  const out = `${sayWith('slt', 'Yes.')}.${decibels}.wav`;
  execFileSync('sox', [sayWith('slt', 'Yes.'), '-b', '16', out, 'gain', String(decibels)], {
    stdio: 'ignore',
  });
  await kiosk.page.evaluate(
    (bytes) => window.scriptedMicrophone?.play(bytes),
    readFileSync(out).toString('base64'),
  );
}

const listens = () => until(kiosk.page, 'an open ear', ({ listening }) => listening === 'waiting', 90_000);

test.skipIf(mute)(
  `a faint learner is told to come closer, and the visit goes on when it is better${skipped(mute)}`,
  async () => {
    const { prompts } = readCommon('en');
    kiosk = await openKiosk({ microphone: 'script' });
    await startPractice(kiosk.page);
    await listens();
    await sayYes(-34);
    await until(kiosk.page, 'advice', ({ captions }) => captions.includes(prompts.soundTooQuiet!));
    await listens();
    // It stays in sight while the microphone is open.
    expect((await look(kiosk.page)).captions).toContain(prompts.soundTooQuiet);
    await sayYes(0);
    await until(kiosk.page, 'the end of the sound check', ({ captions }) =>
      captions.includes(prompts.soundCheckFine!),
    );
  },
);

/** Opens the practice visit in Spanish, which no ear on this device knows. */
async function inSpanish(cloudHearing: boolean, opens: typeof openKiosk = openKiosk): Promise<void> {
  kiosk = await opens({ microphone: 'script', site: { cloudHearing } });
  const { page } = kiosk;
  await page.getByRole('button', { name: 'Español', exact: true }).click();
  await page.getByText(wordsIn('es').idleTitle).waitFor();
  await startPractice(page, wordsIn('es'));
}

test('the voice is not sent anywhere before the learner says yes by a button, and a no goes on by touch', async () => {
  const { prompts } = readCommon('es');
  const words = wordsIn('es');
  await inSpanish(true);
  const { page } = kiosk;
  const asks = (prompt: string | undefined) =>
    until(page, `"${prompt}"`, ({ screen, captions }) => screen === 'cloud' && captions.includes(prompt!));
  await asks(prompts.cloudQuestion);
  await asks(prompts.cloudTouch);
  await page.waitForTimeout(8_000);
  expect(await look(page)).toMatchObject({ screen: 'cloud', listening: 'off', ear: '' });
  expect(await page.evaluate(() => window.scriptedMicrophone?.open())).toBe(0);
  await press(page, words.no);
  await until(page, 'the sound check', ({ screen, captions }) => screen === 'sound-check' && captions !== '');
  expect((await look(page)).captions).toContain(prompts.welcome);
  await page.waitForTimeout(3_000);
  expect(await page.evaluate(() => window.scriptedMicrophone?.open())).toBe(0);
  expect(kiosk.outside).toEqual([]);
});

test('without leave of the site the question is never asked', async () => {
  const { prompts } = readCommon('es');
  await inSpanish(false);
  await until(kiosk.page, 'the welcome', ({ captions }) => captions.includes(prompts.welcome!));
  expect((await look(kiosk.page)).screen).not.toBe('cloud');
});

test('after a yes nobody says that the voice stays here; a browser without a service is told as trouble', async () => {
  const { prompts } = readCommon('es');
  // The browser's own recogniser takes the microphone of the browser, which a shared one has not.
  await inSpanish(true, openDevice);
  const { page } = kiosk;
  await until(page, 'the question', ({ screen }) => screen === 'cloud');
  await press(page, wordsIn('es').yes);
  const { captions } = await until(page, 'the welcome', (sight) => sight.screen === 'sound-check');
  expect(captions).not.toContain(prompts.welcome);
  await until(page, 'trouble', ({ screen }) => screen === 'trouble', 90_000);
  // This Chromium has no service; what it says of itself differs from build to build.
  expect(['network', 'engine-failed', 'no-device']).toContain(
    await page.locator('[data-trouble]').getAttribute('data-trouble'),
  );
  expect((await look(page)).ear).toBe('browser-cloud');
});
