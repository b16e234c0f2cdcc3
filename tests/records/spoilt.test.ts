import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test, vi } from 'vitest';
import { derive } from '../../src/records/derive';
import { openStore } from '../../src/records/open';
import type { VisitFact } from '../../src/records/types';
import { otherId, started, texts, visitId, wholeVisit } from './fixtures';
import { noRoom } from './noRoom';
import { accessOf, device, meddle, noSecondCopy, rue, sealedDevice } from './seal/kiosk';

/* Faults of the disk that once cost more than the rows they were in. mutated.test.ts tries whatever else there is. */

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  vi.restoreAllMocks();
});

const asked = (text: string): VisitFact => ({ type: 'question', text, answer: null });
const facts = (events: { fact: unknown }[]) => events.map(({ fact }) => fact);

test('a full disk does not keep a visit with an unreadable entry from being read, nor the list', async () => {
  const { open, told } = device();
  const store = await open();
  await store.append(visitId, wholeVisit);
  await store.append(otherId, [started({ visit: otherId })]);
  await meddle(async (db) => {
    await db.put('events', 'garbage', [visitId, 7]);
    await db.put('visits', { torn: true }, otherId);
    await db.put('clips', 'garbage', 'ab');
  });
  noRoom((where) => where === 'set-aside');
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length - 1);
  expect((await store.list()).map(({ visit }) => visit).sort()).toEqual([visitId, otherId].sort());
  expect(await store.clips()).toEqual([]);
  expect(told.map(({ store }) => store)).toEqual(['events', 'visits', 'clips']);
  expect(await meddle((db) => db.get('events', [visitId, 7]))).toBe('garbage');
});

test.each<[string, IDBValidKey]>([
  ['a number', 5],
  ['no visit', 'x'],
  ['nothing', ''],
  ['a list', [visitId]],
])('a place in the outbox that belongs to %s is set aside once, not at every look', async (_of, key) => {
  const { open, told } = device();
  const store = await open();
  await meddle((db) => db.put('outbox', { foreign: 1 }, key as string));
  for (let look = 0; look < 3; look += 1) await store.outbox();
  expect(told.map(({ found }) => found)).toEqual([{ foreign: 1 }]);
  expect(await store.setAside()).toHaveLength(1);
  expect(await meddle((db) => db.count('outbox'))).toBe(0);
});

test.each([1e300, Number.POSITIVE_INFINITY, Number.MAX_SAFE_INTEGER, Number.MAX_SAFE_INTEGER - 7])(
  'an entry that lies under the number %d does not keep the visit from going on',
  async (seq) => {
    const { open, told } = device();
    const store = await open();
    await store.append(visitId, [started(), asked('before')]);
    await meddle((db) =>
      db.put('events', { visit: visitId, seq, at: '2026-03-02T14:00:00.000Z', fact: asked('foreign') }, [
        visitId,
        seq,
      ]),
    );
    expect((await store.append(visitId, [asked('after')])).map((event) => event.seq)).toEqual([2]);
    const log = await store.events(visitId);
    expect(facts(log)).toEqual([started(), asked('before'), asked('after')]);
    expect(derive(log, texts).missing).toEqual([]);
    await store.list();
    await store.list();
    expect(told.filter(({ store }) => store === 'events')).toHaveLength(1);
    expect(told.length).toBeLessThanOrEqual(2);
  },
);

test.each<[string, 'visits' | 'events', IDBValidKey]>([
  ['a visit under a number', 'visits', 5],
  ['an entry under a word', 'events', 'x'],
  ['an entry of no visit', 'events', [5, 5]],
  ['an entry of a visit that is none', 'events', ['zz', 0]],
  ['an entry behind all numbers', 'events', [visitId, []]],
  ['an entry still further behind', 'events', [visitId, ['x']]],
])('%s is set aside and told, not left unseen', async (_what, where, key) => {
  const { open, told } = device();
  const store = await open();
  await store.append(visitId, wholeVisit);
  store.close();
  await meddle((db) => db.put(where, { foreign: 1 }, key as never));
  const again = await open();
  expect((await again.list()).map(({ visit }) => visit)).toEqual([visitId]);
  expect(told.map(({ found }) => found)).toEqual([{ foreign: 1 }]);
  expect(await again.setAside()).toHaveLength(1);
  expect(await meddle((db) => db.getKey(where, key as never))).toBe(undefined);
});

test('a header that holds nothing and belongs to no log is set aside once and told', async () => {
  const { open, told } = device();
  const store = await open();
  await store.append(visitId, wholeVisit);
  await meddle((db) => db.put('visits', undefined as never, ''));
  for (let look = 0; look < 3; look += 1)
    expect((await store.list()).map(({ visit }) => visit)).toEqual([visitId]);
  expect(told.map(({ store, where }) => [store, where])).toEqual([['visits', 'header of the visit']]);
  expect(await store.setAside()).toHaveLength(1);
  expect(await meddle((db) => db.count('visits'))).toBe(1);
});

test('a sound header of a log in which nothing can be read is not listed by the look that sets it aside', async () => {
  const { open, told } = device();
  const store = await open();
  await store.append(visitId, [started()]);
  store.close();
  await meddle((db) => db.put('events', 'garbage', [visitId, 0]));
  await meddle((db) => db.put('events', 'garbage', [visitId, 1]));
  const after = await open();
  expect(await after.list()).toEqual([]);
  expect(told.map(({ store }) => store).sort()).toEqual(['events', 'events', 'visits']);
  expect(await after.list()).toEqual([]);
  expect(told).toHaveLength(3);
});

test('a wrong key in the slot of the running visit takes none of its entries away', async () => {
  const { store, slot, open, told } = await sealedDevice();
  await store.append(visitId, wholeVisit.slice(0, 5));
  store.close();
  slot.held = { visit: visitId, raw: new Uint8Array(32).fill(7) };
  const after = await open();
  await after.takeUp(visitId);
  await expect(after.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
  expect([told, await after.setAside()]).toEqual([[], []]);
  const access = await accessOf(after);
  await access.open(rue.id, rue.secret);
  await after.takeUp(visitId);
  expect(facts(await after.events(visitId))).toEqual(wholeVisit.slice(0, 5));
  await access.close('gone on with');
  await after.append(visitId, wholeVisit.slice(5));
  expect(facts(await after.events(visitId))).toEqual(wholeVisit);
});

test.each<[string, (db: Parameters<Parameters<typeof meddle>[0]>[0]) => Promise<unknown>]>([
  ['lost', (db) => db.delete('keys', visitId)],
  ['no key', (db) => db.put('keys', 'garbage', visitId)],
  ['nothing', (db) => db.put('keys', undefined, visitId)],
])(
  'a running visit whose stored key is %s goes on under the same one, and staff read all of it',
  async (_how, harm) => {
    const { store, access } = await sealedDevice();
    await store.append(visitId, wholeVisit.slice(0, 5));
    await meddle(harm);
    await store.append(visitId, wholeVisit.slice(5));
    store.putDown();
    await access.open(rue.id, rue.secret);
    expect(facts(await store.events(visitId))).toEqual(wholeVisit);
  },
);

test('a visit that has ended and whose stored key is lost gets no other one: nothing of it is taken away', async () => {
  const { store, access, told } = await sealedDevice();
  await store.append(visitId, wholeVisit);
  store.putDown();
  await meddle((db) => db.delete('keys', visitId));
  await access.open(rue.id, rue.secret);
  await expect(store.append(visitId, [asked('later')])).rejects.toMatchObject({ code: 'broken-seal' });
  await expect(store.events(visitId)).rejects.toMatchObject({ code: 'broken-seal' });
  expect([told, await store.setAside()]).toEqual([[], []]);
  expect(await meddle((db) => db.count('keys'))).toBe(0);
});

test.each<[string, unknown]>([
  ['a number that JSON does not have', 12n],
  [
    'a list of itself',
    (() => {
      const list: unknown[] = [];
      list.push(list);
      return list;
    })(),
  ],
])('%s among what was set aside does not keep the records from being sealed', async (_what, found) => {
  const { open, told } = device();
  const store = await open();
  await store.append(visitId, wholeVisit);
  await meddle((db) => db.put('events', found, [visitId, 7]));
  const access = await accessOf(store);
  await access.setUp(rue);
  expect(store.sealed).toBe(true);
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length - 1);
  expect(told).toHaveLength(1);
  store.close();
  expect((await open()).sealed).toBe(true);
});

test.each<[string, (db: Parameters<Parameters<typeof meddle>[0]>[0]) => Promise<unknown>]>([
  ['lost', (db) => db.delete('desk', 'head')],
  ['spoilt', (db) => db.put('desk', { seq: 'two' }, 'head')],
  ['old', (db) => db.put('desk', { seq: 0, hash: 'f'.repeat(64) }, 'head')],
])(
  'with the end of the trail %s, staff get in all the same, and the trail says that it is broken',
  async (_how, change) => {
    const { store, open } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    store.close();
    await meddle(change);
    const after = await open(noSecondCopy);
    const access = await accessOf(after);
    await access.open(rue.id, rue.secret);
    expect(facts(await after.events(visitId))).toEqual(wholeVisit);
    const { entries, broken } = await access.trail();
    expect(entries.map(({ seq }) => seq)).toEqual([...entries.keys()]);
    expect(broken).toMatch(/entry 3 does not follow the one before/);
  },
);

test('what staff have read of a visit that has not ended is not kept once the records are closed', async () => {
  const one = device();
  const store = await openStore({ ...one.options, onTrouble: () => {} });
  const access = await accessOf(store);
  await access.setUp(rue);
  await store.append(visitId, wholeVisit.slice(0, 9));
  await store.append(otherId, [started({ visit: otherId })]);
  store.putDown();
  await store.events(visitId);
  await access.close('tested');
  // The disk can be neither written nor read: what memory holds would show.
  vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(() => {
    throw new DOMException('closing', 'InvalidStateError');
  });
  await store.append(visitId, [asked('and now?')]).catch(() => {});
  const left = await store.events(visitId).catch(() => []);
  expect(JSON.stringify(left)).not.toContain('no need to shake it');
});
