import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { beforeEach, expect, test } from 'vitest';
import { type Migration, migrations } from '../../src/records/migrations';
import { openDiskStore } from '../../src/records/store';
import { started, visitId, wholeVisit } from './fixtures';
import { fakeLocks } from './locks';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const open = (steps: readonly Migration[]) => openDiskStore({ locks: fakeLocks(), steps });

/** A later version that rewrites each header. */
const bumpHeaders: Migration = async (_db, tx) => {
  let cursor = await tx.objectStore('visits').openCursor();
  while (cursor) {
    await cursor.update({ ...(cursor.value as object), practice: true });
    cursor = await cursor.continue();
  }
};

test('a database of the first version is brought up step by step and keeps its visits', async () => {
  const first = await open(migrations);
  const written = await first.append(visitId, wholeVisit);
  first.close();
  const next = await open([...migrations, bumpHeaders]);
  expect(await next.events(visitId)).toEqual(written);
  expect((await next.list())[0]).toMatchObject({ visit: visitId, practice: true, next: written.length });
  expect((await indexedDB.databases())[0]?.version).toBe(migrations.length + 1);
  next.close();
  const again = await open([...migrations, bumpHeaders]);
  expect(await again.events(visitId)).toEqual(written);
});

test('a new database goes through all steps at once', async () => {
  const store = await open([...migrations, bumpHeaders]);
  await store.append(visitId, [started()]);
  expect(await store.events(visitId)).toHaveLength(1);
});

test('a step that fails leaves version and visits as they were and says why', async () => {
  const first = await open(migrations);
  const written = await first.append(visitId, wholeVisit);
  first.close();
  const failing: Migration = async (_db, tx) => {
    await tx.objectStore('events').clear();
    throw new Error('step two broke');
  };
  await expect(open([...migrations, failing])).rejects.toThrow(/step two broke/);
  const again = await open(migrations);
  expect(await again.events(visitId)).toEqual(written);
});

test('the first version holds exactly the three stores', async () => {
  (await open(migrations.slice(0, 1))).close();
  const db = await openDB('ownwords');
  expect([...db.objectStoreNames]).toEqual(['events', 'set-aside', 'visits']);
  db.close();
});
