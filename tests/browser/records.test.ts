import { spawnSync } from 'node:child_process';
import { afterEach, expect, test } from 'vitest';
import { skipped } from '../skipped';
import { type Device, openDevice } from './chromium';
import { found, pieces } from './disk';
import { rue, setFirstSecret } from './secret';
import { chooseLesson, isOver, passSoundCheck, press, touch, tryPress, until } from './visit';
import { en } from './words';

/*
 * A visit of a named learner by voice, on a device whose records are sealed: broken off by a crash, gone on with
 * without a secret, closed. Then the files of the browser are searched as a thief would.
 */

const mute = spawnSync('flite', ['--version']).error ? 'flite is not installed' : '';

let kiosk: Device;
afterEach(() => kiosk.close());

const { secret } = rue;
const name = 'Ottoline Varnish';
const step = 'after';
const button = (label: string) => kiosk.page.getByRole('button', { name: label, exact: true });
const fill = (field: string, text: string) => kiosk.page.locator(`[name=${field}]`).fill(text);

async function setUp() {
  await button(en.visits).click();
  await setFirstSecret(kiosk.page);
  await button('Back').click();
}

async function startVisit() {
  const { page } = kiosk;
  await button(en.newVisit).click();
  await chooseLesson(page, step);
  await fill('name', name);
  await fill('bed', '12');
  await fill('staff', 'R. Quillon');
  await button('Start').click();
}

/** What lies in the file in which the key of the running visit is kept for the case of a crash. */
const keyInFile = () =>
  kiosk.page.evaluate(async () => {
    const root = await navigator.storage.getDirectory();
    const file = await (await root.getFileHandle('running-visit')).getFile();
    return [...new Uint8Array(await file.arrayBuffer())].slice(16);
  });

const control = 'A sentence that anybody may read.';

/** Writes so much that LevelDB packs what it has into tables: a new one for each 4 MB. */
const fillTables = () =>
  kiosk.page.evaluate(
    (text) =>
      new Promise<void>((done) => {
        const opening = indexedDB.open('control', 1);
        opening.onupgradeneeded = () => {
          const store = opening.result.createObjectStore('open');
          // Larger rows become files of their own.
          for (let row = 0; row < 150; row++) store.put(`${text} ${row} `.repeat(1_000), row);
        };
        opening.onsuccess = () => done(opening.result.close());
      }),
    control,
  );

test.skipIf(mute)(
  `nothing of a sealed visit can be read in the files of the browser${skipped(mute)}`,
  async () => {
    kiosk = await openDevice({ microphone: 'script' });
    await setUp();
    await startVisit();
    await passSoundCheck(kiosk.page);
    await touch(
      kiosk.page,
      ({ listening }) => listening === 'waiting',
      90_000,
      () => {},
      { byVoice: true },
    );
    await kiosk.say('The violin of my neighbor is old.');
    // Its end may have been heard already.
    await tryPress(kiosk.page, en.done);
    let heard = '';
    const { screen } = await until(kiosk.page, 'what was heard', (sight) => {
      heard = sight.heard || heard;
      return ['confirm', 'respond'].includes(sight.screen);
    });
    if (screen === 'confirm') await press(kiosk.page, en.yes);
    await until(kiosk.page, 'what was said to it', (sight) => sight.screen === 'respond');
    // Whatever was made of it, it is none of the sentences of the kiosk, which lie in the files of the browser as well.
    expect(heard.length).toBeGreaterThan(20);
    const key = Buffer.from(await keyInFile());
    expect(key).toHaveLength(32);
    await kiosk.crash();
    const meanwhile = pieces(kiosk.profileDir);

    await kiosk.reopen();
    await until(kiosk.page, 'the offer to go on', ({ screen }) => screen === 'resume');
    await button(en.resumeNo).click();
    await button(en.endVisit).click();
    await touch(kiosk.page, isOver, 90_000);
    // For the clinician, who has to open first.
    await button(en.clinicianView).click();
    await kiosk.page.locator('[data-screen=open-records]').waitFor();
    await button('Back').click();
    await button(en.close).click();

    await button(en.visits).click();
    await fill('id', rue.id);
    await fill('secret', `${secret}s`);
    await button('Open').click();
    await kiosk.page.getByText('That did not open.').waitFor();
    await fill('secret', secret);
    await button('Open').click();
    await kiosk.page.getByText('Sealed; opened by R. Quillon.').waitFor();
    await button('Open').click();
    await kiosk.page.locator('[data-screen=review]').waitFor();
    expect(await kiosk.page.locator('main').textContent()).toContain(heard);
    await fillTables();
    await kiosk.crash();
    const all = pieces(kiosk.profileDir);
    // What is searched for is found where it lies open, packed in a table as well as in a log.
    expect(found(all, [control]).some((at) => at.endsWith('unpacked'))).toBe(true);
    expect(found(meanwhile, [key])).toHaveLength(1);
    expect(found(all, [key])).toEqual([]);
    expect(found(all, [name, 'Varnish', heard, heard.slice(0, 16), heard.slice(-16), secret])).toEqual([]);
  },
);
