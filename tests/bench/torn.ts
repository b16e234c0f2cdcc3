import { readdirSync, statSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { build } from '../../src/commands/prepare.mjs';
import { openDevice } from '../browser/chromium';
import { isOver, isUp, look, press, startPractice, touch, until } from '../browser/visit';
import { en } from '../browser/words';
import { goal } from './figures';

/*
 * npm run torn [-- --bytes 100]
 * A power cut in the middle of a write: Chromium is killed in a practice visit by touch, the end of the log of its
 * database is cut off, and it is started twice. Measured with Chromium 156: it goes on writing behind the torn entry, and
 * at the start after that finds a checksum that does not match and throws the whole database away (`dataLoss` of the
 * event `upgradeneeded` says "total"). Exit status 1 when a visit is gone.
 */

const { values } = parseArgs({ options: { bytes: { type: 'string', default: '100' } } });

if (!build()) process.exit(1);
const kiosk = await openDevice({ microphone: 'none' });

/** Visits on the disk. */
const visits = () =>
  kiosk.page.evaluate(
    () =>
      new Promise<number>((done, failed) => {
        const opening = indexedDB.open('ownwords');
        opening.onerror = () => failed(opening.error);
        opening.onsuccess = () => {
          const counting = opening.result.transaction('visits').objectStore('visits').count();
          counting.onsuccess = () => {
            opening.result.close();
            done(counting.result);
          };
        };
      }),
  );
const again = async () => {
  await kiosk.crash();
  await kiosk.reopen();
  await until(kiosk.page, 'a screen', isUp);
};

// One visit that is over, and one that is not.
await startPractice(kiosk.page);
await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
await again();
await press(kiosk.page, en.resumeNo);
await press(kiosk.page, en.endVisit);
await touch(kiosk.page, isOver, 60_000);
await press(kiosk.page, en.close);
await startPractice(kiosk.page);
await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
const before = await visits();

await kiosk.crash();
const databases = join(kiosk.profileDir, 'Default', 'IndexedDB');
const folder = join(databases, readdirSync(databases).find((name) => name.endsWith('.leveldb')) ?? '');
const log = join(
  folder,
  readdirSync(folder)
    .filter((name) => name.endsWith('.log'))
    .sort()
    .at(-1) ?? '',
);
truncateSync(log, statSync(log).size - Number(values.bytes));
await kiosk.reopen();
await until(kiosk.page, 'a screen', isUp);
const first = await visits();
if ((await look(kiosk.page)).screen === 'resume') await press(kiosk.page, en.resumeYes);
// It writes something behind the tear.
await touch(kiosk.page, ({ screen }) => screen === 'respond', 60_000);
await again();
const second = await visits();
const { screen } = await look(kiosk.page);
const said = await kiosk.page.getByText('All visits on this device are lost').count();
await kiosk.close();

console.log(
  `visits before the cut: ${before}; at the start after it: ${first}; at the one after that: ${second}`,
);
goal(`all ${before} visits are there after the second start: ${second}`, second === before);
goal('staff are told where a visit is gone', second === before || said > 0);
goal(`the visit that was cut off is offered again: ${screen}`, screen === 'resume');
