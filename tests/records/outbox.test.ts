import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { beforeEach, describe, expect, test } from 'vitest';
import { MemoryStore } from '../../src/records/memory';
import { migrations } from '../../src/records/migrations';
import { freshRow } from '../../src/records/rows';
import { openDiskStore } from '../../src/records/store';
import type { SetAside, VisitFact, VisitStore } from '../../src/records/types';
import { otherId, started, startOf, visitId, wholeVisit } from './fixtures';
import { fakeLocks } from './locks';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const numbered = started({ recordNumber: 'A-1' });
const stores: [string, () => Promise<VisitStore>][] = [
  ['on disk', () => openDiskStore({ locks: fakeLocks() })],
  ['in memory', async () => new MemoryStore()],
];

describe.each(stores)('the outbox %s', (_where, open) => {
  test('has a visit from its first fact on, if that names the patient', async () => {
    const store = await open();
    await store.append(visitId, [numbered]);
    expect(await store.outbox()).toEqual([freshRow(visitId)]);
  });

  test('has no practice visit, nor one without a record number until that is entered', async () => {
    const store = await open();
    const practice = { ...startOf({ recordNumber: 'A-1', practice: true }), visit: otherId };
    await store.append(otherId, [{ type: 'visit-started', start: practice }]);
    await store.append(visitId, wholeVisit);
    expect(await store.outbox()).toEqual([]);
    await store.append(visitId, [{ type: 'record-number', number: 'A-2' }]);
    expect(await store.outbox()).toEqual([freshRow(visitId)]);
  });

  test('begins anew with a visit whose number is put right', async () => {
    const store = await open();
    await store.append(visitId, [numbered]);
    await store.saveOutbox({ ...freshRow(visitId), state: 'held', tries: 3, problem: 'Look.' });
    expect((await store.outbox())[0]).toMatchObject({ state: 'held', tries: 3 });
    await store.append(visitId, [{ type: 'record-number', number: 'A-2' }]);
    expect(await store.outbox()).toEqual([{ ...freshRow(visitId), changes: 1 }]);
  });

  test('has a visit that was filed wait once more when something is added to its record', async () => {
    const store = await open();
    const by = { name: 'R. Quillon' };
    const added: VisitFact[] = [
      { type: 'decided', concept: 'lamp.light.shake', decision: 'understood', reason: 'Told me.', by },
      { type: 'decision-taken-back', concept: 'lamp.light.shake', by },
      { type: 'answered', question: 5, answer: 'No.', by },
      { type: 'show-me', point: 'seal', shown: true, by },
      { type: 'signed', by },
    ];
    const [, ...rest] = wholeVisit;
    await store.append(visitId, [numbered, ...rest]);
    const filedAt = '2026-03-02T18:00:00.000Z';
    for (const [index, fact] of added.entries()) {
      const [row] = await store.outbox();
      await store.saveOutbox({ ...row!, state: 'filed', filedAt });
      await store.append(visitId, [fact]);
      expect(await store.outbox()).toEqual([{ ...freshRow(visitId), filedAt, changes: index + 1 }]);
    }
  });

  test('keeps a visit waiting that was added to while it was being filed', async () => {
    const store = await open();
    const [, ...rest] = wholeVisit;
    await store.append(visitId, [numbered, ...rest]);
    const [read] = await store.outbox();
    await store.append(visitId, [{ type: 'signed', by: { name: 'R. Quillon' } }]);
    const filedAt = '2026-03-02T18:00:00.000Z';
    await store.saveOutbox({ ...read!, state: 'filed', filedAt });
    expect(await store.outbox()).toMatchObject([{ state: 'waiting', filedAt, changes: 1 }]);
  });

  test('has no visit without a record number, whatever is added to its record', async () => {
    const store = await open();
    await store.append(visitId, [...wholeVisit, { type: 'signed', by: { name: 'R. Quillon' } }]);
    expect(await store.outbox()).toEqual([]);
  });

  test('forgets a visit that is erased, and takes none back that is gone', async () => {
    const store = await open();
    await store.append(visitId, [numbered]);
    await store.erase(visitId);
    await store.saveOutbox(freshRow(visitId));
    expect(await store.outbox()).toEqual([]);
  });
});

test('a database from before the outbox keeps its visits and gets one', async () => {
  const before = await openDiskStore({ locks: fakeLocks(), steps: migrations.slice(0, 3) });
  const written = await before.append(visitId, wholeVisit);
  before.close();
  const store = await openDiskStore({ locks: fakeLocks() });
  expect(await store.events(visitId)).toEqual(written);
  expect(await store.outbox()).toEqual([]);
  await store.append(visitId, [{ type: 'record-number', number: 'A-2' }]);
  expect(await store.outbox()).toHaveLength(1);
});

test('a row that cannot be read is set aside, and its visit begins anew, in doubt', async () => {
  const first = await openDiskStore({ locks: fakeLocks() });
  await first.append(visitId, [numbered]);
  first.close();
  const db = await openDB('ownwords');
  await db.put('outbox', { visit: visitId, state: 'lost' }, visitId);
  db.close();
  const found: SetAside[] = [];
  const store = await openDiskStore({ locks: fakeLocks(), onSetAside: (row) => found.push(row) });
  const fresh = { ...freshRow(visitId), doubtful: true };
  expect(await store.outbox()).toEqual([fresh]);
  expect(found).toMatchObject([{ store: 'outbox', visit: visitId, where: 'place in the outbox' }]);
  expect(await store.outbox()).toEqual([fresh]);
  expect(found).toHaveLength(1);
  expect(await store.setAside()).toMatchObject([{ store: 'outbox', found: { state: 'lost' } }]);
});

test('a log that cannot be written puts nothing into the outbox', async () => {
  const store = await openDiskStore({ locks: fakeLocks() });
  const bad = { type: 'question', text: 7 } as never;
  await expect(store.append(visitId, [numbered, bad])).rejects.toThrow();
  expect(await store.outbox()).toEqual([]);
});

test('a row from before changes were counted is read as one without any', async () => {
  const first = await openDiskStore({ locks: fakeLocks() });
  await first.append(visitId, [numbered]);
  first.close();
  const { changes: _, ...old } = freshRow(visitId);
  const db = await openDB('ownwords');
  await db.put('outbox', old, visitId);
  db.close();
  const store = await openDiskStore({ locks: fakeLocks() });
  expect(await store.outbox()).toEqual([freshRow(visitId)]);
  await store.append(visitId, [{ type: 'signed', by: { name: 'R. Quillon' } }]);
  expect(await store.outbox()).toEqual([{ ...freshRow(visitId), changes: 1 }]);
});
