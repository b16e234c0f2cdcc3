import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test } from 'vitest';
import { type Asides, diskAsides } from '../../src/records/asides';
import { Database } from '../../src/records/database';
import { migrations } from '../../src/records/migrations';
import { aside, freshRow } from '../../src/records/rows';
import type { SetAside } from '../../src/records/types';
import { visitId } from './fixtures';

const at = '2026-03-04T05:06:07.000Z';
let database: Database;
let asides: Asides;
let told: SetAside[];

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  database = await Database.open('ownwords', migrations, true);
  told = [];
  asides = diskAsides({ database, now: () => at, tell: (found) => told.push(found) });
});

const key: [string, number] = [visitId, 3];
const badEvent = { key, found: aside('events', key, 'garbage', 'no entry', at) };
const clipKey = 'a'.repeat(64);
const badClip = { key: clipKey, found: aside('clips', clipKey, 'garbage', 'no recording', at) };
const badPlace = { key: visitId, found: aside('outbox', visitId, 'garbage', 'no place', at) };

test('a row is moved once, however many find it at the same time', async () => {
  await database.db.put('events', 'garbage', key);
  await Promise.all([asides.put([badEvent]), asides.put([badEvent])]);
  expect(await asides.all()).toEqual([badEvent.found]);
  expect(told).toEqual([badEvent.found]);
  expect(await database.db.count('events')).toBe(0);
});

test('nothing of a visit comes back that was erased since the row was read', async () => {
  await asides.put([badEvent, badPlace]);
  expect(await asides.all()).toEqual([]);
  expect(await database.db.count('outbox')).toBe(0);
  expect(told).toEqual([]);
});

test('a recording that was made since stays', async () => {
  const made = {
    key: clipKey,
    language: 'en',
    text: 'Shake it.',
    place: 'lamp',
    recordedAt: at,
    seconds: 1,
    wav: new Uint8Array([1]),
  };
  await database.db.put('clips', made, clipKey);
  await asides.put([badClip]);
  expect(await database.db.get('clips', clipKey)).toEqual(made);
  expect(await asides.all()).toEqual([]);
});

test('a place in the outbox that is sound since stays, and one that is not begins anew in doubt', async () => {
  const filed = { ...freshRow(visitId), state: 'filed', filedAt: at };
  await database.db.put('outbox', filed, visitId);
  await asides.put([badPlace]);
  expect(await database.db.get('outbox', visitId)).toEqual(filed);
  await database.db.put('outbox', 'garbage', visitId);
  await asides.put([badPlace]);
  expect(await database.db.get('outbox', visitId)).toEqual({ ...freshRow(visitId), doubtful: true });
  expect(told).toEqual([badPlace.found]);
});

test('what a window that only reads finds stays where it is, and is told', async () => {
  await database.db.put('events', 'garbage', key);
  database.close();
  const reading = await Database.open('ownwords', migrations, false);
  const tell = (found: SetAside) => told.push(found);
  await diskAsides({ database: reading, now: () => at, tell }).put([badEvent]);
  expect(told).toEqual([badEvent.found]);
  expect(await reading.db.get('events', key)).toBe('garbage');
});
