import { spawnSync } from 'node:child_process';
import { afterEach, expect, test } from 'vitest';
import { readCommon } from '../../phrasebanks/read';
import { skipped } from '../skipped';
import { type Kiosk, openKiosk } from './chromium';
import { look, press, startPractice, until } from './visit';
import { en } from './words';

const mute = ['flite', 'sox'].some((program) => spawnSync(program, ['--version']).error)
  ? 'needs flite and sox'
  : '';

declare global {
  interface Window {
    /** Recordings that were played, with the speed at that moment. */
    played: { rate: number; pitch: boolean; seconds: number }[];
    /** Sentences that the embedded voice began. */
    voiced: number;
  }
}

let kiosk: Kiosk;
afterEach(() => kiosk.close());

/** Runs in the page before its scripts: notes what begins to sound. */
function notePlayed() {
  window.played = [];
  const { play } = HTMLMediaElement.prototype;
  HTMLMediaElement.prototype.play = function () {
    // A player that had to wait for the machine tells once more that it plays: the same recording.
    this.addEventListener(
      'playing',
      () => {
        const { playbackRate: rate, preservesPitch: pitch, duration: seconds } = this;
        window.played.push({ rate, pitch, seconds });
      },
      { once: true },
    );
    return play.call(this);
  };
  window.voiced = 0;
  const { start } = AudioBufferSourceNode.prototype;
  AudioBufferSourceNode.prototype.start = function (...when) {
    window.voiced++;
    return start.apply(this, when);
  };
}

const open = () => kiosk.page.evaluate(() => window.scriptedMicrophone?.open());
const phase = (wanted: string) => kiosk.page.locator(`[data-phase=${wanted}]`).waitFor();
const button = (name: string) => kiosk.page.getByRole('button', { name, exact: true });
const recorded = () => kiosk.page.locator('[data-state=recorded]').count();

/** Writes something into the stored recording that is no sound. */
function spoil(): Promise<void> {
  return kiosk.page.evaluate(async () => {
    const ask = <T>(request: IDBRequest<T>) =>
      new Promise<T>((done, failed) => {
        request.onsuccess = () => done(request.result);
        request.onerror = () => failed(request.error);
      });
    const db = await ask(indexedDB.open('ownwords'));
    const store = db.transaction('clips', 'readwrite').objectStore('clips');
    const [key] = await ask(store.getAllKeys());
    const row = await ask(store.get(key!));
    await ask(store.put({ ...row, wav: new Uint8Array(2000).fill(65) }, key));
    db.close();
  });
}

async function toRecordings() {
  await button(en.visits).click();
  await button('Recorded sentences').click();
  await kiosk.page.locator('[data-sentence]').waitFor();
}

test.skipIf(mute)(
  `a nurse records a sentence, and a visit says it in her voice, slower when asked${skipped(mute)}`,
  async () => {
    kiosk = await openKiosk({
      microphone: 'script',
      beforehand: (page) => page.addInitScript(notePlayed),
    });
    const { page } = kiosk;
    await toRecordings();
    await page.getByRole('radio', { name: readCommon('en').prompts.welcome! }).check();

    // By keys alone: record, stop, keep.
    await button('Record').focus();
    await page.keyboard.press('Enter');
    await phase('recording');
    expect(await open()).toBe(1);
    const { peak } = await kiosk.say('Welcome. I will teach you.');
    expect(peak).toBeGreaterThan(-30);
    await page.keyboard.press('Enter');
    await phase('taken');
    expect(await open()).toBe(0);
    expect(await page.locator('main').getByRole('status').textContent()).toContain('Good');
    await page.keyboard.press('Enter');
    await phase('kept');
    expect(await recorded()).toBe(1);

    // It is there after the page was closed, and leaving while recording lets the microphone go.
    await page.reload();
    await toRecordings();
    await page.getByRole('radio').nth(1).check();
    await button('Record').click();
    await phase('recording');
    await button('Back').click();
    await button('Back').click();
    await page.waitForFunction(() => window.scriptedMicrophone?.open() === 0);

    await startPractice(page);
    await page.waitForFunction(() => window.played.length === 1);
    await press(page, en.slower);
    await page.waitForFunction(() => window.played.length === 2);
    const played = await page.evaluate(() => window.played);
    expect(played.map(({ rate, pitch }) => [rate, pitch])).toEqual([
      [1, true],
      [0.75, true],
    ]);
    expect(played[0]!.seconds).toBeGreaterThan(1);
    expect(played[0]!.seconds).toBeLessThan(5);
    // The sentence after it has no recording: the voice says it.
    const { prompts } = readCommon('en');
    await until(
      page,
      'the next sentence',
      ({ captions }) => captions.endsWith(prompts.practiceNote!),
      20_000,
    );
    // What Chromium cannot decode is said by the voice as well.
    await spoil();
    const before = await page.evaluate(() => window.voiced);
    await press(page, en.again);
    await page.waitForFunction((count) => window.voiced > count, before);
    const { captions } = await look(page);
    expect(captions).toContain(prompts.welcome);
    expect(await page.evaluate(() => window.played)).toEqual(played);
    expect(kiosk.errors).toEqual([]);
  },
);
