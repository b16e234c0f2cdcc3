import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test } from 'vitest';
import { interruptedVisit } from '../../src/records/interrupted';
import { otherId, started, visitId, wholeVisit } from './fixtures';
import { accessOf, device, rue } from './seal/kiosk';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const begun = [started({ visit: otherId })];

test('the newest visit that has not ended is offered again, and none where all have', async () => {
  const one = device();
  const store = await one.open();
  await store.append(visitId, wholeVisit);
  expect(await interruptedVisit(store)).toBe(null);
  await store.append(otherId, begun);
  expect(await interruptedVisit(store)).toBe(otherId);
});

test('where records are sealed, it is the one that ran here, also when an unfinished one is newer', async () => {
  const one = device();
  const store = await one.open();
  await (await accessOf(store)).setUp(rue);
  // As one that a backup brought: nobody here has its key at hand.
  one.pass(60);
  await store.append(otherId, begun);
  one.pass(-60);
  await store.append(visitId, wholeVisit.slice(0, 5));
  store.close();
  const again = await one.open();
  expect((await again.openVisits())[0]?.visit).toBe(otherId);
  expect(await interruptedVisit(again)).toBe(visitId);
  expect(await again.events(visitId)).toHaveLength(5);
});

test('where no key is at hand it is the newest, which staff are told is sealed', async () => {
  const one = device();
  const store = await one.open();
  await (await accessOf(store)).setUp(rue);
  await store.append(otherId, begun);
  store.close();
  one.slot.held = null;
  expect(await interruptedVisit(await one.open())).toBe(otherId);
});

test('a window that only reads offers none', async () => {
  const one = device();
  await (await one.open()).append(otherId, begun);
  expect(await interruptedVisit(await one.open())).toBe(null);
});
