import { setImmediate as macrotask } from 'node:timers/promises';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test, vi } from 'vitest';
import type { VisitStore } from '../../../src/records/types';
import { visitId, wholeVisit } from '../fixtures';
import { device } from '../seal/kiosk';
import { failing } from './disks';

let told: string[];

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  told = [];
});

const kiosk = (secondCopy: () => Promise<IDBFactory | null>) =>
  device({ secondCopy, onNoSecondCopy: (sentence) => told.push(sentence) });
const facts = (events: { fact: unknown }[]) => events.map(({ fact }) => fact);
const visitsOf = async (store: VisitStore) => (await store.list()).map(({ visit }) => visit);
const begun = wholeVisit.slice(0, 5);

/** Lets time go by until this is over; a disk that answers does so within it. */
async function passing<T>(promise: Promise<T>): Promise<T> {
  let over = false;
  const end = () => {
    over = true;
  };
  promise.then(end, end);
  while (!over) {
    for (let n = 0; n < 50; n++) await macrotask();
    await vi.advanceTimersByTimeAsync(500);
  }
  return promise;
}

test('a second copy that does not answer holds up no visit, at the start nor later', async () => {
  const disk = failing(new IDBFactory());
  const store = await kiosk(async () => disk.factory).open();
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  try {
    disk.hangs = true;
    expect(facts(await passing(store.append(visitId, begun)))).toEqual(begun);
    expect(told).toEqual([expect.stringContaining('the disk of the second copy did not answer')]);
    store.close();
    told = [];
    const again = await passing(kiosk(() => new Promise(() => {})).open());
    expect(await visitsOf(again)).toEqual([visitId]);
    expect(told).toEqual([expect.stringContaining('the bucket of the second copy did not answer')]);
  } finally {
    vi.useRealTimers();
  }
});

test('a second copy that answers when it is opened and then no more holds up no start and no visit', async () => {
  const disk = failing(new IDBFactory());
  const before = await kiosk(async () => disk.factory).open();
  await before.append(visitId, begun);
  before.close();
  disk.hangs = true;
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  try {
    const store = await passing(kiosk(async () => disk.factory).open());
    expect(await visitsOf(store)).toEqual([visitId]);
    expect(told).toEqual([expect.stringContaining('the disk of the second copy did not answer')]);
    store.close();
    told = [];
    // The same where it stops while older visits get their copy.
    const late = failing(new IDBFactory());
    const again = await passing(kiosk(async () => late.factory).open());
    late.hangs = true;
    expect(facts(await passing(again.append(visitId, wholeVisit.slice(5, 6))))).toEqual(
      wholeVisit.slice(5, 6),
    );
    expect(told).toEqual([expect.stringContaining('the disk of the second copy did not answer')]);
  } finally {
    vi.useRealTimers();
  }
});
