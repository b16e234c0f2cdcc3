import { parseArgs } from 'node:util';
import { build } from '../../src/commands/prepare.mjs';
import { type Device, openDevice } from '../browser/chromium';
import { type Torn, tear, torn } from '../browser/tear';
import { isOver, isUp, look, press, startPractice, touch, until } from '../browser/visit';
import { en } from '../browser/words';
import { goal } from './figures';

/*
 * npm run torn [-- --bytes 1,100,4000]
 * A power cut in the middle of a write: Chromium is killed in a practice visit by touch, the end of the log of its
 * database is cut off, that of the visits or that of their second copy, and it is started twice. Measured with Chromium
 * 156: it goes on writing behind the torn entry, and at the start after that finds a checksum that does not match and
 * throws the whole database away (`dataLoss` of the event `upgradeneeded` says "total"). Exit status 1 when an entry is
 * gone, or is back untold.
 */

const { values } = parseArgs({ options: { bytes: { type: 'string', default: '1,100,4000' } } });

if (!build()) process.exit(1);

/** Visits and entries on the disk. */
const stored = ({ page }: Device) =>
  page.evaluate(
    () =>
      new Promise<{ visits: number; entries: number }>((done, failed) => {
        const opening = indexedDB.open('ownwords');
        opening.onerror = () => failed(opening.error);
        opening.onsuccess = () => {
          const tx = opening.result.transaction(['visits', 'events']);
          const [visits, entries] = [tx.objectStore('visits').count(), tx.objectStore('events').count()];
          tx.oncomplete = () => {
            opening.result.close();
            done({ visits: visits.result, entries: entries.result });
          };
        };
      }),
  );

async function cut(which: Torn, bytes: number): Promise<void> {
  const kiosk = await openDevice({ microphone: 'none' });
  const reopen = async () => {
    await kiosk.reopen();
    await until(kiosk.page, 'a screen', isUp);
  };
  try {
    // One visit that is over, and one that is not.
    await startPractice(kiosk.page);
    await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
    await kiosk.crash();
    await reopen();
    await press(kiosk.page, en.resumeNo);
    await press(kiosk.page, en.endVisit);
    await touch(kiosk.page, isOver, 60_000);
    await press(kiosk.page, en.close);
    await startPractice(kiosk.page);
    await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
    await kiosk.crash();
    const before = await (async () => {
      await reopen();
      const found = await stored(kiosk);
      await kiosk.crash();
      return found;
    })();
    tear(kiosk.profileDir, which, bytes);
    await reopen();
    const first = await stored(kiosk);
    await press(kiosk.page, en.resumeYes);
    // It writes something behind the tear.
    await touch(kiosk.page, ({ screen }) => screen === 'respond', 60_000);
    const between = await stored(kiosk);
    await kiosk.crash();
    await reopen();
    const second = await stored(kiosk);
    const { screen } = await look(kiosk.page);

    console.log(`${bytes} bytes of the ${which}: ${JSON.stringify({ before, first, between, second })}`);
    goal(
      `all ${before.visits} visits and ${before.entries} entries are there at the start after it`,
      first.visits === before.visits && first.entries >= before.entries,
    );
    goal(
      `and all ${between.entries} at the one after that`,
      second.visits === before.visits && second.entries >= between.entries,
    );
    goal(`the visit that was cut off is offered again: ${screen}`, screen === 'resume');
    // On the idle screen, when nobody is in a visit any more.
    await press(kiosk.page, en.resumeNo);
    await press(kiosk.page, en.endVisit);
    await touch(kiosk.page, isOver, 60_000);
    await press(kiosk.page, en.close);
    await until(kiosk.page, 'the idle screen', ({ screen }) => screen === 'idle');
    const told = await kiosk.page.getByText('put back from the second copy').count();
    goal('staff are told where something was put back', which === 'second copy' ? told === 0 : told === 1);
  } finally {
    await kiosk.close();
  }
}

for (const which of torn) for (const bytes of values.bytes.split(',')) await cut(which, Number(bytes));
