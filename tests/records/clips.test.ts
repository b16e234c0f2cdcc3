import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { MemoryStore } from '../../src/records/memory';
import { type Disk, migrations } from '../../src/records/migrations';
import { openStore } from '../../src/records/open';
import { openDiskStore } from '../../src/records/store';
import type { Clip, SetAside, VisitStore } from '../../src/records/types';
import { visitId, wholeVisit } from './fixtures';
import { fakeLocks } from './locks';

let locks = fakeLocks();

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  locks = fakeLocks();
  vi.restoreAllMocks();
});

const key = (letter: string) => letter.repeat(64);

const clip = (letter: string, changes: Partial<Clip> = {}): Clip => ({
  key: key(letter),
  language: 'en',
  text: `Sentence ${letter}.`,
  place: `lamp ${letter}`,
  recordedAt: '2026-03-04T05:06:07.000Z',
  seconds: 1.5,
  wav: new Uint8Array([82, 73, 70, 70, 1, 2, 3, 255]),
  ...changes,
});

const infoOf = ({ wav: _, ...info }: Clip) => info;

const onDisk = (): Promise<VisitStore> => openDiskStore({ locks, lockWait: 20 });

describe.each([
  ['disk', onDisk],
  ['memory', async () => new MemoryStore()],
])('recordings on %s', (_where, open: () => Promise<VisitStore>) => {
  test('come back byte for byte, and are listed without their sound', async () => {
    const store = await open();
    await store.saveClip(clip('b'));
    await store.saveClip(clip('a'));
    expect(await store.clip(key('a'))).toEqual(clip('a'));
    expect(await store.clip(key('c'))).toBeNull();
    expect(await store.clips()).toEqual([infoOf(clip('a')), infoOf(clip('b'))]);
  });

  test('are replaced under the same key', async () => {
    const store = await open();
    await store.saveClip(clip('a'));
    await store.saveClip(clip('a', { seconds: 9, wav: new Uint8Array([7]) }));
    expect(await store.clips()).toHaveLength(1);
    expect((await store.clip(key('a')))?.wav).toEqual(new Uint8Array([7]));
  });

  test('take the place of an outdated one', async () => {
    const store = await open();
    await store.saveClip(clip('a'));
    await store.saveClip(clip('b'), key('a'));
    expect(await store.clips()).toEqual([infoOf(clip('b'))]);
  });

  test('are gone when they are erased', async () => {
    const store = await open();
    await store.saveClip(clip('a'));
    await store.eraseClip(key('a'));
    expect(await store.clips()).toEqual([]);
    expect(await store.clip(key('a'))).toBeNull();
  });

  test('that are none are refused, and the one before stays', async () => {
    const store = await open();
    await store.saveClip(clip('a'));
    const bad = { ...clip('b'), wav: 'no bytes' } as unknown as Clip;
    await expect(store.saveClip(bad, key('a'))).rejects.toMatchObject({ code: 'invalid' });
    expect(await store.clips()).toEqual([infoOf(clip('a'))]);
  });

  test('are no visits: erasing a visit leaves them', async () => {
    const store = await open();
    await store.saveClip(clip('a'));
    await store.append(visitId, wholeVisit);
    await store.erase(visitId);
    expect(await store.clips()).toHaveLength(1);
    expect(await store.list()).toEqual([]);
  });
});

test('a database from before recordings keeps its visits and takes recordings', async () => {
  const before = await openDiskStore({ locks, steps: migrations.slice(0, 1) });
  const written = await before.append(visitId, wholeVisit);
  before.close();
  const store = await onDisk();
  expect(await store.events(visitId)).toEqual(written);
  expect(await store.clips()).toEqual([]);
  await store.saveClip(clip('a'));
  store.close();
  const again = await onDisk();
  expect(await again.clip(key('a'))).toEqual(clip('a'));
  expect(await again.events(visitId)).toEqual(written);
});

test('a recording that cannot be read is set aside, and the others are still there', async () => {
  const told: SetAside[] = [];
  const open = () => openDiskStore({ locks, lockWait: 20, onSetAside: (found) => told.push(found) });
  const first = await open();
  await first.saveClip(clip('a'));
  first.close();
  const db = await openDB<Disk>('ownwords');
  await db.put('clips', { half: 'a row' }, key('b'));
  await db.put('clips', clip('a'), key('c'));
  db.close();
  const store = await open();
  expect(await store.clip(key('c'))).toBeNull();
  expect(await store.clips()).toEqual([infoOf(clip('a'))]);
  expect(told.map(({ store, where }) => [store, where])).toEqual([
    ['clips', `recording ${key('c')}`],
    ['clips', `recording ${key('b')}`],
  ]);
  expect((await store.setAside()).map(({ store, visit }) => [store, visit])).toEqual([
    ['clips', ''],
    ['clips', ''],
  ]);
});

test('a recording for which there is no room is told and does not end the saving of visits', async () => {
  const told = vi.fn();
  const store = await openStore({ locks, onTrouble: told });
  const full = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
    throw new DOMException('no room', 'QuotaExceededError');
  });
  await expect(store.saveClip(clip('a'))).rejects.toMatchObject({ code: 'full' });
  full.mockRestore();
  await store.append(visitId, wholeVisit);
  expect(store.mode).toBe('disk');
  expect(told).not.toHaveBeenCalled();
});

test('a second window hears recordings and saves none', async () => {
  const first = await onDisk();
  await first.saveClip(clip('a'));
  const second = await onDisk();
  expect(await second.clip(key('a'))).toEqual(clip('a'));
  await expect(second.saveClip(clip('b'))).rejects.toMatchObject({ code: 'read-only' });
});
