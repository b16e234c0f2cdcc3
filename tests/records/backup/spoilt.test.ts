import { expect, test, vi } from 'vitest';
import { visitId, wholeVisit } from '../fixtures';
import { accessOf, noSecondCopy, rue } from '../seal/kiosk';
import { fill, type Kiosk, kiosk, restored, saved, sealedKiosk } from './kiosks';

/* A disk with spoilt rows: what can be read of it is in the file, and the file can be restored. */

const list: unknown[] = [];
list.push(list);
const aside = (found: unknown) => ({
  ...{ store: 'events', visit: '', where: 'event 7', why: 'foreign', at: '2026-03-02T14:00:00.000Z' },
  found,
});

test.each<[string, (db: Parameters<Parameters<Kiosk['meddle']>[0]>[0]) => Promise<unknown>]>([
  ['a key under a number', (db) => db.put('keys', new Uint8Array(9), 5 as never)],
  ['a key of no visit', (db) => db.put('keys', new Uint8Array(9), 'x')],
  ['a key that is none', (db) => db.put('keys', 'garbage', visitId)],
  ['an entry of the trail under a word', (db) => db.put('trail', { foreign: 1 }, 'x' as never)],
  ['an entry of the trail under no whole number', (db) => db.put('trail', { foreign: 1 }, 0.5)],
  ['an entry of the trail that is none', (db) => db.put('trail', undefined, 1)],
  ['an end of the trail that is none', (db) => db.put('desk', { seq: 'two' }, 'head')],
  ['a person who cannot be read', (db) => db.put('staff', { id: 'odo' }, 'odo')],
  ['a list of itself set aside', (db) => db.add('set-aside', aside(list))],
  ['a date that is none set aside', (db) => db.add('set-aside', aside(new Date(Number.NaN)))],
  ['nothing set aside', (db) => db.put('set-aside', undefined, 40)],
  ['a header under a number', (db) => db.put('visits', { foreign: 1 }, 5 as never)],
  ['a recording under a number', (db) => db.put('clips', { foreign: 1 }, 5 as never)],
  ['a place in the outbox that is none', (db) => db.put('outbox', { foreign: 1 }, visitId)],
])('with %s the file is saved, and restored elsewhere', async (_what, harm) => {
  const one = await sealedKiosk();
  await fill(one.store, [[visitId, wholeVisit]]);
  await one.meddle(harm);
  const file = await saved(one);
  const other = await kiosk();
  expect((await restored(other, file)).added).toBe(1);
  const whole = await other.store.events(visitId).catch((cause: { code: string }) => cause.code);
  if (_what === 'a key that is none') expect(whole).toBe('broken-seal');
  else expect(whole).toHaveLength(wholeVisit.length);
});

test.each<[string, (db: Parameters<Parameters<Kiosk['meddle']>[0]>[0]) => Promise<unknown>]>([
  ['lost', (db) => db.delete('keys', visitId)],
  ['none', (db) => db.put('keys', 'garbage', visitId)],
  [
    'changed',
    async (db) => {
      const key = (await db.get('keys', visitId)) as Uint8Array;
      await db.put(
        'keys',
        key.map((byte, at) => (at === 9 ? byte ^ 1 : byte)),
        visitId,
      );
    },
  ],
])('a key of a visit that is %s comes back with a backup, also after a restart', async (_how, harm) => {
  const one = await sealedKiosk();
  await fill(one.store, [[visitId, wholeVisit.slice(0, 20)]]);
  const file = await saved(one);
  await fill(one.store, [[visitId, wholeVisit.slice(20)]]);
  await one.access.close('tested');
  one.store.close();
  await one.slot.erase();
  await one.meddle(harm);
  const store = await one.open(noSecondCopy);
  const access = await accessOf(store);
  await access.open(rue.id, rue.secret);
  await expect(store.events(visitId)).rejects.toMatchObject({ code: 'broken-seal' });
  const result = await restored({ ...one, store, access }, file);
  expect(result).toMatchObject({ added: 0, longer: 1, differ: 0 });
  expect((await store.events(visitId)).map(({ fact }) => fact)).toEqual(wholeVisit);
  expect(await store.setAside()).toEqual([]);
});

test('a visit that lies open because the disk was too full to seal it is in the file like others, and sealed there', async () => {
  const one = await kiosk();
  await fill(one.store, [[visitId, wholeVisit]]);
  const { put } = IDBObjectStore.prototype;
  const full = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
    this: IDBObjectStore,
    ...given
  ) {
    if (this.name === 'events') throw new DOMException('no room', 'QuotaExceededError');
    return put.apply(this, given);
  });
  await one.access.setUp(rue);
  const file = await saved(one);
  full.mockRestore();
  const other = await kiosk();
  expect(await restored(other, file)).toMatchObject({ added: 1 });
  expect((await other.store.events(visitId)).map(({ fact }) => fact)).toEqual(wholeVisit);
  expect(await other.store.setAside()).toEqual([]);
  expect(JSON.stringify(await other.rows())).not.toContain('lips tight round it');
  // Where it came from, it is the same visit.
  expect(await restored(one, file)).toMatchObject({ added: 0, same: 1, differ: 0 });
});

test('a visit whose key is not in the file keeps no empty key in the place of the right one', async () => {
  const one = await sealedKiosk();
  await fill(one.store, [[visitId, wholeVisit]]);
  const good = await saved(one);
  await one.meddle((db) => db.delete('keys', visitId));
  const without = await saved(one);
  const other = await kiosk();
  expect(await restored(other, without)).toMatchObject({ added: 1 });
  expect(await other.meddle((db) => db.count('keys'))).toBe(0);
  expect(await restored(other, good)).toMatchObject({ longer: 1, differ: 0 });
  expect((await other.store.events(visitId)).map(({ fact }) => fact)).toEqual(wholeVisit);
});
