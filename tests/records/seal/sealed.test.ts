import { setImmediate as macrotask } from 'node:timers/promises';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test, vi } from 'vitest';
import type { StoreError } from '../../../src/records/errors';
import { migrations } from '../../../src/records/migrations';
import { openStore } from '../../../src/records/open';
import type { SealedRow } from '../../../src/records/rows';
import { otherId, started, visitId, wholeVisit } from '../fixtures';
import { accessOf, allThatLies, device, meddle, noSecondCopy, rue, sealedDevice } from './kiosk';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const facts = (events: { fact: unknown }[]) => events.map(({ fact }) => fact);
const other = [
  started({ visit: otherId }),
  { type: 'question' as const, text: 'Where is the cat?', answer: null },
];
const words = ['Ines Marlow', 'lips tight round it', 'dog', 'R. Quillon, educator'];

test('nothing of a sealed visit can be read where it lies, and before it all could', async () => {
  const one = device();
  const store = await one.open();
  await store.append(visitId, wholeVisit);
  expect(store.sealed).toBe(false);
  const before = await allThatLies();
  for (const word of words) expect(before).toContain(word);
  store.close();

  globalThis.indexedDB = new IDBFactory();
  const { store: sealed } = await sealedDevice();
  await sealed.append(visitId, wholeVisit);
  expect(sealed.sealed).toBe(true);
  const after = await allThatLies();
  expect(after).toContain(visitId);
  for (const word of words) expect(after).not.toContain(word);
});

test('the visit that runs is written, read and gone on with after a crash, and nobody opens for it', async () => {
  const one = await sealedDevice();
  await one.store.append(visitId, wholeVisit.slice(0, 5));
  expect(facts(await one.store.events(visitId))).toEqual(wholeVisit.slice(0, 5));
  one.store.close();
  const again = await one.open();
  expect((await again.openVisits()).map(({ visit }) => visit)).toEqual([visitId]);
  expect(facts(await again.events(visitId))).toEqual(wholeVisit.slice(0, 5));
  await again.takeUp(visitId);
  await again.append(visitId, wholeVisit.slice(5));
  expect(facts(await again.events(visitId))).toEqual(wholeVisit);
  expect((await again.list())[0]).toMatchObject({ finished: 'completed', next: wholeVisit.length });
});

test('with its end the key of a visit is off the device, and with its leaving the screen out of memory', async () => {
  const one = await sealedDevice();
  await one.store.append(visitId, wholeVisit.slice(0, -1));
  expect(one.slot.held?.visit).toBe(visitId);
  await one.store.append(visitId, wholeVisit.slice(-1));
  expect(one.slot.held).toBe(null);
  // Summary and handout are still made of it.
  expect(await one.store.events(visitId)).toHaveLength(wholeVisit.length);
  one.store.putDown();
  await expect(one.store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
  await one.access.open(rue.id, rue.secret);
  expect(facts(await one.store.events(visitId))).toEqual(wholeVisit);
  await one.access.close('tested');
  await expect(one.store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
});

test('a page that died between the end and the taking off of the key is made up for', async () => {
  const one = await sealedDevice();
  await one.store.append(visitId, wholeVisit.slice(0, -1));
  const { held } = one.slot;
  await one.store.append(visitId, wholeVisit.slice(-1));
  one.store.close();
  one.slot.held = held;
  const again = await one.open();
  expect(one.slot.held).toBe(null);
  await expect(again.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
});

test('a key that stays on the device is told', async () => {
  const told: string[] = [];
  const one = device({ onKeyLeft: (sentence) => told.push(sentence) });
  const store = await one.open();
  await (await accessOf(store)).setUp(rue);
  one.slot.erase = () => Promise.reject(new Error('the disk is read-only'));
  await store.append(visitId, wholeVisit);
  expect(told).toEqual([expect.stringMatching(/still on this device.*the disk is read-only/)]);
});

test('only one visit at a time can be read without opening: the one begun last', async () => {
  const { store, slot, access } = await sealedDevice();
  await store.append(visitId, wholeVisit.slice(0, 5));
  await store.append(otherId, other);
  expect(slot.held?.visit).toBe(otherId);
  await expect(store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
  await expect(store.takeUp(visitId)).rejects.toMatchObject({ code: 'sealed' });
  await access.open(rue.id, rue.secret);
  await store.takeUp(visitId);
  await access.close('tested');
  await store.append(visitId, wholeVisit.slice(5));
  expect(facts(await store.events(visitId))).toEqual(wholeVisit);
});

test('facts that come all at once are stored in order, with numbers of their own', async () => {
  const { store } = await sealedDevice();
  await Promise.all(wholeVisit.map((fact) => store.append(visitId, [fact])));
  const events = await store.events(visitId);
  expect(facts(events)).toEqual(wholeVisit);
  expect(events.map(({ seq }) => seq)).toEqual([...wholeVisit.keys()]);
});

test.each<[string, (row: SealedRow) => SealedRow]>([
  [
    'a changed byte',
    (row) => ({ ...row, bytes: row.bytes.map((byte, at) => (at === 40 ? byte ^ 1 : byte)) }),
  ],
  ['cut bytes', (row) => ({ ...row, bytes: row.bytes.slice(0, 20) })],
  ['another time', (row) => ({ ...row, at: '2020-01-01T00:00:00.000Z' })],
  ['another mark', (row) => ({ ...row, mark: 'stopped' })],
])('an entry with %s is set aside and told, and the others are read', async (_what, change) => {
  const { store, access, told } = await sealedDevice();
  const written = await store.append(visitId, wholeVisit);
  await meddle(async (db) => {
    await db.put('events', change((await db.get('events', [visitId, 4])) as SealedRow), [visitId, 4]);
  });
  await access.open(rue.id, rue.secret);
  expect(await store.events(visitId)).toEqual(written.filter(({ seq }) => seq !== 4));
  expect(told).toMatchObject([{ visit: visitId, where: 'event 4', why: expect.stringContaining('seal') }]);
  expect(await store.setAside()).toHaveLength(1);
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length - 1);
});

test('an entry put in the place of another one is set aside', async () => {
  const { store, access, told } = await sealedDevice();
  await store.append(visitId, wholeVisit);
  await meddle(async (db) => {
    const row = (await db.get('events', [visitId, 6])) as SealedRow;
    await db.put('events', { ...row, seq: 4 }, [visitId, 4]);
  });
  await access.open(rue.id, rue.secret);
  await store.events(visitId);
  expect(told.map(({ where }) => where)).toEqual(['event 4']);
});

test('a changed key of a visit is told, and its entries stay where they are', async () => {
  const { store, access } = await sealedDevice();
  await store.append(visitId, wholeVisit);
  store.putDown();
  await meddle(async (db) => {
    const key = (await db.get('keys', visitId)) as Uint8Array;
    await db.put(
      'keys',
      key.map((byte, at) => (at === 9 ? byte ^ 1 : byte)),
      visitId,
    );
  });
  await access.open(rue.id, rue.secret);
  await expect(store.events(visitId)).rejects.toMatchObject({ code: 'broken-seal' });
  expect(await store.setAside()).toEqual([]);
  expect(await meddle((db) => db.count('events'))).toBe(wholeVisit.length);
});

test('a lost header is made anew without opening', async () => {
  const { store, open } = await sealedDevice();
  await store.append(visitId, wholeVisit);
  store.putDown();
  const [before] = await store.list();
  store.close();
  await meddle((db) => db.delete('visits', visitId));
  expect(await (await open()).list()).toEqual([before]);
});

test('an erased visit takes its key along', async () => {
  const { store } = await sealedDevice();
  await store.append(visitId, wholeVisit);
  await store.erase(visitId);
  expect(await meddle((db) => db.count('keys'))).toBe(0);
});

test('an erased visit that had not ended leaves no key on the device', async () => {
  const { store, slot } = await sealedDevice();
  await store.append(visitId, wholeVisit.slice(0, 5));
  await store.append(otherId, other);
  await store.erase(visitId);
  expect(slot.held?.visit).toBe(otherId);
  await store.erase(otherId);
  expect(slot.held).toBe(null);
});

test('visits of an older version are sealed when the first secret is set, and none is lost', async () => {
  const one = device();
  const old = await one.open({ steps: migrations.slice(0, 1) });
  const whole = await old.append(visitId, wholeVisit);
  const open = await old.append(otherId, other);
  old.close();
  await meddle(async (db) => {
    await db.put('events', { nonsense: 'of Ines Marlow' }, [visitId, 500]);
  });
  const store = await one.open();
  expect(await store.events(visitId)).toEqual(whole);
  await meddle(async (db) => {
    await db.put('events', { nonsense: 'of Ines Marlow' }, [visitId, 501]);
  });
  const before = await store.list();
  const access = await accessOf(store);
  await access.setUp(rue);
  const lies = await allThatLies();
  for (const word of [...words, 'cat', 'nonsense']) expect(lies).not.toContain(word);
  expect(await store.list()).toEqual(before);
  expect(await store.events(visitId)).toEqual(whole);
  expect((await store.setAside()).map(({ where }) => where)).toEqual([
    'event 500',
    // It did not count the rows that were put there.
    'header of the visit',
    'event 501',
  ]);
  // The one that was not finished can be gone on with.
  await access.close('tested');
  store.close();
  const again = await one.open();
  expect(await again.events(otherId)).toEqual(open);
  await expect(again.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
});

test('what a crash left unsealed while the first secret was set is sealed at the next start', async () => {
  const one = await sealedDevice();
  await one.store.append(visitId, wholeVisit);
  one.store.close();
  // As it was before: the visit lies open, and has no key.
  await meddle(async (db) => {
    for (const [seq, fact] of wholeVisit.entries())
      await db.put('events', { visit: visitId, seq, at: '2026-03-02T14:00:00.000Z', fact }, [visitId, seq]);
    await db.delete('keys', visitId);
  });
  expect(await allThatLies()).toContain('Ines Marlow');
  const again = await one.open(noSecondCopy);
  expect(await allThatLies()).not.toContain('Ines Marlow');
  await (await accessOf(again)).open(rue.id, rue.secret);
  expect(facts(await again.events(visitId))).toEqual(wholeVisit);
});

test('a key of the ward that cannot be read is told, and visits are held in memory, not stored open', async () => {
  const one = await sealedDevice();
  one.store.close();
  await meddle((db) => db.put('desk', { half: 'a key' }, 'ward'));
  const told: StoreError[] = [];
  const store = await openStore({ ...one.options, onTrouble: (trouble) => told.push(trouble) });
  expect(store.mode).toBe('memory');
  expect(told.map(({ code }) => code)).toEqual(['broken-seal']);
  await store.append(visitId, wholeVisit);
  expect(await meddle((db) => db.count('events'))).toBe(0);
});

test('a visit that is erased while something is added to it stays away whole', async () => {
  const { store } = await sealedDevice();
  await store.append(otherId, other);
  const { encrypt } = crypto.subtle;
  let erased: Promise<void> | undefined;
  // While the addition is sealed, nothing of it lies on the disk yet.
  vi.spyOn(crypto.subtle, 'encrypt').mockImplementationOnce(async (...how) => {
    erased = store.erase(otherId);
    for (let turn = 0; turn < 50; turn += 1) await macrotask();
    return encrypt.apply(crypto.subtle, how);
  });
  await store.append(otherId, [{ type: 'question', text: 'And the dog?', answer: null }]);
  await erased;
  expect(erased).toBeDefined();
  expect(await store.list()).toEqual([]);
  for (const left of ['visits', 'events', 'keys', 'outbox'] as const)
    expect(await meddle((db) => db.count(left))).toBe(0);
});

test('what is on its way to the disk when a visit leaves the screen is stored', async () => {
  const one = device();
  const store = await openStore({ ...one.options, onTrouble: () => {} });
  const access = await accessOf(store);
  await access.setUp(rue);
  await access.close('tested');
  await store.append(visitId, wholeVisit.slice(0, 5));
  const writes = [store.append(visitId, wholeVisit.slice(5, 9)), store.append(visitId, wholeVisit.slice(9))];
  store.putDown();
  const next = store.append(otherId, other);
  await Promise.all([...writes, next]);
  store.putDown();
  await access.open(rue.id, rue.secret);
  expect(facts(await store.events(visitId))).toEqual(wholeVisit);
  expect(facts(await store.events(otherId))).toEqual(other);
});

test.each([
  ['on the disk', (one: ReturnType<typeof device>) => one.open()],
  [
    'that goes on when the disk fails',
    (one: ReturnType<typeof device>) => openStore({ ...one.options, onTrouble: () => {} }),
  ],
])(
  'a visit taken up while the one before is still being written has its key: a store %s',
  async (_which, openIt) => {
    const one = device();
    const store = await openIt(one);
    const access = await accessOf(store);
    await access.setUp(rue);
    await store.append(otherId, other);
    await store.append(visitId, wholeVisit.slice(0, 5));
    const late = store.append(visitId, wholeVisit.slice(5, 9));
    store.putDown();
    const taken = store.takeUp(otherId);
    await Promise.all([late, taken]);
    await access.close('gone on with');
    const more = { type: 'question' as const, text: 'And at night?', answer: null };
    await store.append(otherId, [more]);
    store.putDown();
    await access.open(rue.id, rue.secret);
    expect(facts(await store.events(otherId))).toEqual([...other, more]);
    expect(facts(await store.events(visitId))).toEqual(wholeVisit.slice(0, 9));
  },
);

test('a disk too full to seal what was there before keeps nobody out: it is told, and sealed once there is room', async () => {
  const told: string[] = [];
  const { open } = device({ onKeyLeft: (sentence) => told.push(sentence) });
  const store = await open();
  await store.append(visitId, wholeVisit);
  await store.append(otherId, [...other, { type: 'finished', how: 'stopped' }]);
  const { put } = IDBObjectStore.prototype;
  const full = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
    this: IDBObjectStore,
    ...given
  ) {
    const [key] = Array.isArray(given[1]) ? given[1] : [];
    if (this.name === 'events' && key === visitId) throw new DOMException('no room', 'QuotaExceededError');
    return put.apply(this, given);
  });
  const access = await accessOf(store);
  await access.setUp(rue);
  expect(told).toEqual([expect.stringMatching(/not sealed.*no room/)]);
  expect(facts(await store.events(visitId))).toEqual(wholeVisit);
  store.close();

  const again = await open();
  expect(again.sealed).toBe(true);
  expect(told).toHaveLength(2);
  expect((await again.list()).map(({ visit }) => visit).sort()).toEqual([visitId, otherId].sort());
  expect(await meddle((db) => db.getAllKeys('keys'))).toEqual([otherId]);

  full.mockRestore();
  const later = { type: 'question' as const, text: 'And at night?', answer: null };
  await again.append(visitId, [later]);
  expect(await allThatLies()).not.toContain('lips tight round it');
  await (await accessOf(again)).open(rue.id, rue.secret);
  expect(facts(await again.events(visitId))).toEqual([...wholeVisit, later]);
  again.close();
  await open();
  expect(told).toHaveLength(2);
});
