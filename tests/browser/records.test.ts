import { spawnSync } from 'node:child_process';
import { afterEach, expect, test } from 'vitest';
import { readTeaching } from '../../phrasebanks/read';
import { type Kiosk, openKiosk } from './chromium';
import { found, pieces } from './disk';
import { attend, isOver, look, passSoundCheck, touch, until } from './visit';
import { en } from './words';

/*
 * A visit of a named learner by voice, on a device whose records are sealed: broken off by a crash, gone on with
 * without a secret, closed. Then the files of the browser are searched as a thief would.
 */

const without = spawnSync('flite', ['--version']).error;
if (without) console.warn('sealed records are not tested: flite is not installed');

let kiosk: Kiosk;
afterEach(() => kiosk.close());

const secret = 'brass lantern over a quiet harbor';
const name = 'Ottoline Varnish';
const step = 'after';
const button = (label: string) => kiosk.page.getByRole('button', { name: label, exact: true });
const fill = (field: string, text: string) => kiosk.page.locator(`[name=${field}]`).fill(text);

async function setUp() {
  await button(en.visits).click();
  await button('Set a staff secret').click();
  await fill('name', 'R. Quillon');
  await fill('id', 'rue');
  await fill('secret', secret);
  await fill('again', secret);
  await button('Seal the records').click();
  await button('It is written down').click();
  await kiosk.page.getByText('Sealed; opened by R. Quillon.').waitFor();
  await button('Back').click();
}

async function startVisit() {
  const { page } = kiosk;
  await button(en.newVisit).click();
  const { title, steps } = readTeaching('inhaler-spacer', 'en');
  const option = page.locator('option', { hasText: `${title} · English` });
  await page.locator('select', { has: option }).selectOption({ label: `${title} · English` });
  for (const [id, { title: label }] of Object.entries(steps))
    if (id !== step) await page.getByLabel(label, { exact: true }).uncheck();
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

test.skipIf(without)('nothing of a sealed visit can be read in the files of the browser', async () => {
  const times: [string, number][] = [];
  let last = Date.now();
  const lap = (what: string) => {
    times.push([what, Date.now() - last]);
    last = Date.now();
  };
  kiosk = await openKiosk({ microphone: 'script' });
  // What is searched for must be found where it lies open.
  const control = 'A sentence that anybody may read.';
  await kiosk.page.evaluate(
    (text) =>
      new Promise<void>((done) => {
        const opening = indexedDB.open('control', 1);
        opening.onupgradeneeded = () => opening.result.createObjectStore('open').put({ text }, 1);
        opening.onsuccess = () => done(opening.result.close());
      }),
    control,
  );
  lap('open');
  await setUp();
  lap('set up');
  await startVisit();
  await passSoundCheck(kiosk.page);
  lap('start');
  let heard = '';
  await attend(kiosk, () => heard !== '', 60_000, {
    hurry: true,
    seen: (sight) => {
      heard ||= sight.heard;
    },
  });
  lap('heard');
  expect(heard.length).toBeGreaterThan(20);
  const key = Buffer.from(await keyInFile());
  expect(key).toHaveLength(32);
  await kiosk.crash();
  const meanwhile = pieces(kiosk.profileDir);
  expect(found(meanwhile, [key])).toHaveLength(1);
  lap('crash');

  await kiosk.reopen();
  await until(kiosk.page, 'the offer to go on', ({ screen }) => screen === 'resume');
  lap('reopen');
  await touch(kiosk.page, isOver, 60_000);
  lap('touch');
  expect((await look(kiosk.page)).screen).toBe('ended');
  await button(en.close).click();

  await button(en.visits).click();
  await fill('id', 'rue');
  await fill('secret', `${secret}s`);
  await button('Open').click();
  await kiosk.page.getByText('That did not open.').waitFor();
  await fill('secret', secret);
  await button('Open').click();
  await kiosk.page.getByText('Sealed; opened by R. Quillon.').waitFor();
  await button('Open').click();
  await kiosk.page.getByText(`“${heard}`).first().waitFor();
  lap('review');
  await kiosk.crash();
  const all = pieces(kiosk.profileDir);
  lap('search');
  console.log(times, all.filter(({ at }) => at.endsWith('unpacked')).length);
  expect(found(all, [control]).length).toBeGreaterThan(0);
  expect(found(all, [key])).toEqual([]);
  expect(found(all, [name, 'Varnish', heard, heard.slice(0, 20), heard.slice(-20), secret])).toEqual([]);
  await kiosk.reopen();
});
