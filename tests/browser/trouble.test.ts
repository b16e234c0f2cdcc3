import { readFileSync } from 'node:fs';
import { afterEach, expect, test } from 'vitest';
import type { CommonFile } from '../../phrasebanks/schema';
import { type Kiosk, openDevice, openKiosk } from './chromium';
import { isOver, look, saveSummary, startPractice, touch, until } from './visit';
import { en } from './words';

const { prompts } = JSON.parse(
  readFileSync(new URL('../../phrasebanks/common/en.json', import.meta.url), 'utf8'),
) as CommonFile;

let kiosk: Kiosk;
afterEach(() => kiosk.close());

async function practise(opening: Promise<Kiosk>) {
  kiosk = await opening;
  await startPractice(kiosk.page);
}

/** Goes on by the buttons, but leaves the answering of a step's question to the microphone. */
const untilTrouble = () =>
  touch(
    kiosk.page,
    ({ screen }) => screen === 'trouble',
    90_000,
    () => {},
    { byVoice: true },
  );

/** The screen names its trouble, says this sentence, and offers another way as its main action. */
async function shows(reason: string, sentence: string) {
  const { page } = kiosk;
  expect(await page.locator('[data-trouble]').getAttribute('data-trouble')).toBe(reason);
  await until(
    page,
    `"${sentence}"`,
    ({ screen, captions }) => screen !== 'trouble' || captions.includes(sentence),
    20_000,
  );
  expect((await look(page)).screen).toBe('trouble');
  await page.getByRole('button', { name: en.useCards }).waitFor({ state: 'visible' });
}

test('with the microphone refused, a whole visit can be done by touch', async () => {
  await practise(openDevice({ microphone: 'denied' }));
  // By the browser itself.
  const refused = kiosk.page.evaluate(() => navigator.mediaDevices.getUserMedia({ audio: true }));
  await expect(refused).rejects.toThrow('NotAllowedError');
  await untilTrouble();
  await shows('denied', prompts.microphoneDenied!);
  await touch(kiosk.page, isOver, 180_000);
  const { state, turns, troubles } = await saveSummary(kiosk.page);
  expect(state).toBe('completed');
  expect(new Set(turns.map(({ mode }) => mode))).toEqual(new Set(['touch']));
  expect(new Set(turns.map(({ step }) => step)).size).toBe(7);
  expect(troubles.map(({ what }) => what).join()).toContain('denied');
});

test('without a microphone the kiosk says so and goes on by touch', async () => {
  await practise(openKiosk({ microphone: 'none' }));
  await untilTrouble();
  await shows('no-device', prompts.noMicrophone!);
  await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
});

test('a recogniser that does not load is named, and the visit goes on by touch', async () => {
  await practise(openKiosk({ microphone: 'script', missing: /\/model\// }));
  await untilTrouble();
  await shows('engine-failed', prompts.recogniserFailed!);
  await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
});

test('a learner who says nothing is asked again, then offered another way', async () => {
  await practise(openKiosk({ microphone: 'script' }));
  await untilTrouble();
  await shows('nothing-heard', prompts.nothingHeard!);
  await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
});
