import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { beforeEach, expect, test, vi } from 'vitest';
import type { StoreError } from '../../src/records/errors';
import { openStore } from '../../src/records/open';
import type { VisitFact } from '../../src/records/types';
import { started, visitId, wholeVisit } from './fixtures';
import { fakeLocks } from './locks';

let locks = fakeLocks();
let told: StoreError[] = [];

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  locks = fakeLocks();
  told = [];
  vi.restoreAllMocks();
});

const open = () => openStore({ locks, lockWait: 20, onTrouble: (trouble) => told.push(trouble) });
const fill = () =>
  vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(() => {
    throw new DOMException('no room', 'QuotaExceededError');
  });

test('a store that works is on disk and says nothing', async () => {
  const store = await open();
  await store.append(visitId, wholeVisit);
  expect(store.mode).toBe('disk');
  expect(told).toEqual([]);
  store.close();
  expect(await (await open()).events(visitId)).toHaveLength(wholeVisit.length);
});

test('a refused disk is told once and the visit is held in memory', async () => {
  vi.spyOn(indexedDB, 'open').mockImplementation(() => {
    throw new DOMException('denied', 'SecurityError');
  });
  const store = await open();
  await store.append(visitId, wholeVisit);
  expect(store.mode).toBe('memory');
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length);
  expect(told.map(({ code }) => code)).toEqual(['refused']);
  expect(told[0]?.message).toMatch(/private window/);
});

test('a disk that fills up in the middle of a visit loses no fact and keeps their order', async () => {
  const store = await open();
  await store.append(visitId, wholeVisit.slice(0, 5));
  fill();
  await Promise.all(wholeVisit.slice(5).map((fact) => store.append(visitId, [fact])));
  expect(told.map(({ code }) => code)).toEqual(['full']);
  expect(store.mode).toBe('memory');
  const events = await store.events(visitId);
  expect(events.map(({ fact }) => fact)).toEqual(wholeVisit);
  expect(events.map(({ seq }) => seq)).toEqual([...wholeVisit.keys()]);
  expect(await store.list()).toHaveLength(1);
  expect((await store.list())[0]?.finished).toBe('completed');
  expect((await store.persist()).kept).toBe(false);
});

test('an interrupted visit that is gone on with survives a full disk as well', async () => {
  const first = await open();
  await first.append(visitId, wholeVisit.slice(0, 5));
  first.close();
  const store = await open();
  fill();
  await store.append(visitId, wholeVisit.slice(5));
  expect((await store.events(visitId)).map(({ fact }) => fact)).toEqual(wholeVisit);
});

test('a fact that does not fit is refused and saving goes on on disk', async () => {
  const store = await open();
  await store.append(visitId, [started()]);
  const bad = { type: 'nonsense' } as unknown as VisitFact;
  await expect(store.append(visitId, [bad])).rejects.toMatchObject({ code: 'invalid' });
  expect((await store.append(visitId, [{ type: 'resumed' }]))[0]?.seq).toBe(1);
  expect(store.mode).toBe('disk');
  expect(told).toEqual([]);
});

test('a second window is told that it only reads', async () => {
  await (await open()).append(visitId, [started()]);
  const second = await open();
  expect(second.mode).toBe('read-only');
  expect(told.map(({ code }) => code)).toEqual(['read-only']);
  expect(await second.events(visitId)).toHaveLength(1);
});

test('data of a newer version is told and stays untouched', async () => {
  (await openDB('ownwords', 99)).close();
  const store = await open();
  await store.append(visitId, [started()]);
  expect(store.mode).toBe('memory');
  expect(told.map(({ code }) => code)).toEqual(['newer-version']);
  expect((await indexedDB.databases())[0]?.version).toBe(99);
});

test('a disk that never answers keeps nobody from being taught, and nothing is written into it later', async () => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  try {
    const whenOpen = vi.spyOn(IDBFactory.prototype, 'open').mockReturnValue(new IDBOpenDBRequest());
    const opening = open();
    await vi.advanceTimersByTimeAsync(60_000);
    const store = await Promise.race([opening, Promise.resolve(null)]);
    expect(whenOpen).toHaveBeenCalledOnce();
    expect(store?.mode).toBe('memory');
    expect(told.map(({ message }) => message)).toEqual([expect.stringContaining('does not answer')]);
    await store?.append(visitId, wholeVisit);
    expect(await store?.events(visitId)).toHaveLength(wholeVisit.length);
  } finally {
    vi.useRealTimers();
  }
});
