import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, expect, test, vi } from 'vitest';
import { readModule, readTeaching } from '../../../phrasebanks/read';
import { inventedId } from '../../../src/records/invented';
import type { VisitStore } from '../../../src/records/types';
import { inventWard } from '../../../src/records/ward/invent';
import { clip } from '../backup/kiosks';
import { otherId, started, startOf, visitId, wholeVisit } from '../fixtures';
import { accessOf, allThatLies, anotherWard, device, odo, rue } from '../seal/kiosk';
import { failing, lay, lying, on } from './disks';

let first: IDBFactory;
let second: IDBFactory;
let told: string[];

beforeEach(() => {
  first = globalThis.indexedDB = new IDBFactory();
  second = new IDBFactory();
  told = [];
});

const kiosk = (secondCopy: () => Promise<IDBFactory | null> = async () => second) =>
  device({
    secondCopy,
    onLoss: (sentence) => told.push(sentence),
    onNoSecondCopy: (sentence) => told.push(sentence),
  });
/** As Chromium does with a database that it finds damaged. */
function throwAway() {
  first = globalThis.indexedDB = new IDBFactory();
}
const facts = (events: { fact: unknown }[]) => events.map(({ fact }) => fact);
const theSame = async () => expect(await lying(second)).toEqual(await lying(first));
const visitsOf = async (store: VisitStore) => (await store.list()).map(({ visit }) => visit).sort();
const begun = wholeVisit.slice(0, 5);
const other = wholeVisit.map((fact) =>
  fact.type === 'visit-started' ? started({ visit: otherId, recordNumber: 'A-1' }) : fact,
);

/** Opens it and has a visit that runs and one that is over. */
async function withTwo(one: ReturnType<typeof kiosk>): Promise<VisitStore> {
  const store = await one.open();
  await store.append(visitId, begun);
  await store.append(otherId, other);
  return store;
}

test('the second copy follows all that is written, sealed, set aside and erased', async () => {
  const one = kiosk();
  let store = await one.open();
  await store.append(visitId, begun);
  await store.append(otherId, other);
  await theSame();
  const sample = inventWard({
    visits: 3,
    seed: 7,
    now: new Date(2026, 5, 30, 12),
    texts: [{ module: readModule('nebulizer'), teaching: readTeaching('nebulizer', 'en') }],
    particulars: startOf().particulars,
  });
  await store.erase(visitId);
  await store.erase(otherId);
  await (await store.sample()).add([...sample]);
  await theSame();
  expect((await lying(second)).length).toBeGreaterThan(30);
  await (await store.sample()).erase();
  expect(await lying(second)).toEqual([]);
  await store.append(visitId, begun);
  await store.append(otherId, other);
  await on(first, (db) => db.put('events', 'spoilt', [visitId, 2]));
  await on(second, (db) => db.put('events', 'spoilt', [visitId, 2]));
  expect(await store.events(visitId)).toHaveLength(4);
  await theSame();
  const access = await accessOf(store);
  await access.setUp(rue);
  await theSame();
  expect(JSON.stringify(await lying(second))).not.toContain('Ines Marlow');
  await store.append(visitId, wholeVisit.slice(5));
  await store.saveClip(clip);
  await store.saveClip({ ...clip, key: 'cd'.repeat(32) }, clip.key);
  await store.eraseClip('cd'.repeat(32));
  const [row] = await store.outbox();
  await store.saveOutbox({ ...row!, state: 'held', problem: 'It does not answer.' });
  await access.ledger.rememberClock({ seen: '2026-03-02T14:00:00.000Z', mended: null, wrong: [] });
  await theSame();
  store.close();
  store = await one.open();
  await theSame();
  await store.erase(otherId);
  await theSame();
  expect(told).toEqual([]);
});

test('what the browser throws away is put back before anybody looks, and opens with the same secret', async () => {
  const one = kiosk();
  const before = await one.open();
  const access = await accessOf(before);
  await access.setUp(rue);
  await before.append(otherId, other);
  before.putDown();
  await before.append(visitId, begun);
  await before.saveClip(clip);
  const { entries } = await access.trail();
  before.close();
  throwAway();

  const store = await one.open();
  expect(told).toEqual([expect.stringMatching(/^2 visits were lost by the browser and put back/)]);
  await theSame();
  expect(await visitsOf(store)).toEqual([visitId, otherId].sort());
  // The one that runs needs nobody, the other one somebody.
  expect(facts(await store.events(visitId))).toEqual(begun);
  await expect(store.events(otherId)).rejects.toMatchObject({ code: 'sealed' });
  const again = await accessOf(store);
  await again.open('rue', rue.secret);
  expect(facts(await store.events(otherId))).toEqual(other);
  expect((await store.clip(clip.key))?.wav).toEqual(clip.wav);
  expect((await store.outbox()).map(({ visit }) => visit)).toEqual([otherId]);
  const trail = await again.trail();
  expect(trail.broken).toBe(null);
  expect(trail.entries.slice(0, entries.length)).toEqual(entries);
  await store.append(visitId, wholeVisit.slice(5));
  expect(facts(await store.events(visitId))).toEqual(wholeVisit);
  await theSame();
  store.close();
  await one.open();
  expect(told).toHaveLength(1);
});

test('a visit of which the last entries are lost gets them back, and one that is lost whole comes back', async () => {
  const one = kiosk();
  const store = await one.open();
  const access = await accessOf(store);
  await access.setUp(rue);
  await store.append(visitId, begun);
  const before = await lying(first);
  await store.append(visitId, wholeVisit.slice(5));
  await store.append(otherId, other);
  await access.note('backed-up');
  store.close();
  await lay(first, before);

  const again = await one.open();
  expect(told).toEqual([expect.stringMatching(/^2 visits were lost/)]);
  const opened = await accessOf(again);
  await opened.open('rue', rue.secret);
  expect(facts(await again.events(visitId))).toEqual(wholeVisit);
  expect(facts(await again.events(otherId))).toEqual(other);
  expect(await again.setAside()).toEqual([]);
  expect((await opened.trail()).broken).toBe(null);
  await theSame();
});

test('what the second copy missed before the page was killed is there after the next start', async () => {
  const one = kiosk();
  const store = await withTwo(one);
  const before = await lying(second);
  await store.append(visitId, wholeVisit.slice(5));
  const access = await accessOf(store);
  await access.setUp(rue);
  store.close();
  await lay(second, before);

  await one.open();
  await theSame();
  expect(JSON.stringify(await lying(second))).not.toContain('Ines Marlow');
  expect(told).toEqual([]);
});

test('a visit that was erased does not come back, also where that did not reach the second copy', async () => {
  const disk = failing(second);
  const one = kiosk(async () => disk.factory);
  const store = await withTwo(one);
  disk.full = true;
  await store.erase(otherId);
  expect(JSON.stringify(await lying(second))).toContain(otherId);
  store.close();
  disk.full = false;
  const again = await one.open();
  expect(await visitsOf(again)).toEqual([visitId]);
  await theSame();
  // Nor is there a trace of it left.
  expect(await allThatLies()).not.toContain(otherId);
  again.close();
  throwAway();
  expect(await visitsOf(await one.open())).toEqual([visitId]);
});

test('whoever was taken off the staff does not come back', async () => {
  const disk = failing(second);
  const one = kiosk(async () => disk.factory);
  const store = await one.open();
  const access = await accessOf(store);
  await access.setUp(rue);
  await access.add(rue.secret, odo);
  disk.full = true;
  await access.remove(odo.id);
  store.close();
  disk.full = false;
  const again = await accessOf(await one.open());
  expect((await again.people()).map(({ id }) => id)).toEqual([rue.id]);
  await theSame();
});

test('where the second copy cannot be reached after all was thrown away, it is put back another day', async () => {
  const one = kiosk();
  const store = await one.open();
  await store.append(visitId, begun);
  store.close();
  throwAway();
  const broken = { secondCopy: () => Promise.reject(new DOMException('no buckets today', 'UnknownError')) };
  for (const visit of [otherId, inventedId(1)]) {
    const without = await one.open(broken);
    const start = started({ visit });
    await without.append(visit, [start]);
    if (visit !== otherId) await without.erase(visit);
    without.close();
  }
  const again = await one.open();
  expect(await visitsOf(again)).toEqual([visitId, otherId].sort());
  expect(facts(await again.events(visitId))).toEqual(begun);
  await theSame();
});

test('a second copy that is sealed with the key of another ward is left as it is', async () => {
  const one = kiosk();
  const store = await one.open();
  await (await accessOf(store)).setUp(rue);
  store.close();
  const before = await lying(second);
  throwAway();
  anotherWard();
  const without = await one.open({ secondCopy: () => Promise.reject(new Error('not today')) });
  await (await accessOf(without)).setUp(odo);
  without.close();
  told = [];
  const again = await one.open();
  expect(told).toEqual([expect.stringContaining('sealed with the key of another ward')]);
  await again.append(visitId, begun);
  expect(await lying(second)).toEqual(before);
});

test('where the second copy cannot follow the visit goes on, staff are told once, and what is erased stays so', async () => {
  const disk = failing(second);
  const one = kiosk(async () => disk.factory);
  const store = await withTwo(one);
  disk.full = true;
  await store.append(visitId, wholeVisit.slice(5));
  await store.erase(otherId);
  await store.saveClip(clip);
  expect(told).toEqual([expect.stringMatching(/^A second copy of the visits cannot be kept.+no room/)]);
  store.close();
  disk.full = false;

  const again = await one.open();
  expect(await visitsOf(again)).toEqual([visitId]);
  expect(facts(await again.events(visitId))).toEqual(wholeVisit);
  await theSame();
  await again.erase(visitId);
  await theSame();
  expect(told).toHaveLength(1);
});

test('what is erased while there is no second copy stays so when there is one again', async () => {
  let broken = true;
  const one = kiosk(async () => {
    if (broken) throw new DOMException('no buckets today', 'UnknownError');
    return second;
  });
  broken = false;
  const store = await withTwo(one);
  store.close();
  broken = true;
  const without = await one.open();
  expect(told).toEqual([expect.stringContaining('no buckets today')]);
  await without.erase(otherId);
  without.close();
  broken = false;
  const again = await one.open();
  expect(await visitsOf(again)).toEqual([visitId]);
  await theSame();
});

test('visits that were there before there was a second copy get one, and so do those whose copy was thrown away', async () => {
  const one = kiosk(async () => null);
  const store = await withTwo(one);
  store.close();
  const two = await one.open({ secondCopy: async () => second });
  await vi.waitFor(theSame);
  two.close();
  second = new IDBFactory();
  const three = await one.open({ secondCopy: async () => second });
  await three.erase(otherId);
  await vi.waitFor(theSame);
  expect((await lying(second)).length).toBeGreaterThan(begun.length);
  expect(told).toEqual([]);
});

test('a window that only reads leaves the second copy alone', async () => {
  const one = kiosk();
  const store = await one.open();
  await store.append(visitId, begun);
  const asked = vi.fn(async () => second);
  const reading = await one.open({ secondCopy: asked });
  expect(reading.mode).toBe('read-only');
  expect(await visitsOf(reading)).toEqual([visitId]);
  expect(asked).not.toHaveBeenCalled();
});

test('a damaged database without a second copy is told as lost', async () => {
  const { prototype } = IDBVersionChangeEvent;
  Object.defineProperty(prototype, 'dataLoss', { configurable: true, value: 'total' });
  try {
    expect((await kiosk(async () => null).open()).mode).toBe('disk');
    throwAway();
    await kiosk().open();
  } finally {
    Reflect.deleteProperty(prototype, 'dataLoss');
  }
  expect(told).toEqual(Array(2).fill(expect.stringMatching(/^All visits on this device are lost/)));
});

test('putting back goes on where the page was killed in it', async () => {
  const one = kiosk();
  const store = await withTwo(one);
  const all = await lying(second);
  store.close();
  // Any prefix of what is put back may have been written.
  for (const at of [1, 3, 7, all.length - 2]) {
    throwAway();
    (await one.open({ secondCopy: async () => null })).close();
    await lay(first, all.slice(0, at));
    const again = await one.open();
    expect(await visitsOf(again)).toEqual([visitId, otherId].sort());
    await theSame();
    expect(await lying(first)).toEqual(all);
    again.close();
  }
});

test('what lies open from before the first secret is sealed in the second copy as well', async () => {
  const one = kiosk();
  const store = await one.open();
  await store.append(visitId, wholeVisit);
  expect(JSON.stringify(await lying(second))).toContain('Ines Marlow');
  await (await accessOf(store)).setUp(rue);
  expect(await allThatLies()).not.toContain('Ines Marlow');
  expect(JSON.stringify(await lying(second))).not.toContain('Ines Marlow');
});

test('a visit that the disk gave back as it was before it was sealed lies sealed again', async () => {
  const one = kiosk();
  const store = await one.open();
  await store.append(visitId, wholeVisit);
  const open = (await lying(first)).filter(([where]) => where === 'events' || where === 'visits');
  await (await accessOf(store)).setUp(rue);
  const sealed = await lying(first);
  store.close();
  await lay(first, [...sealed.filter(([where]) => ['desk', 'staff', 'trail'].includes(where)), ...open]);
  expect(JSON.stringify(await lying(first))).toContain('Ines Marlow');
  await one.open();
  expect(await lying(first)).toEqual(sealed);
  await theSame();
});

test('with many visits, how far the putting back is can be followed', async () => {
  const one = kiosk();
  const store = await one.open();
  for (let n = 0; n < 60; n++) await store.append(inventedId(n), [started({ visit: inventedId(n) })]);
  store.close();
  throwAway();
  const seen: string[] = [];
  await one.open({ onPuttingBack: (done, visits) => seen.push(`${done}/${visits}`) });
  expect(seen).toEqual(['25/60', '50/60', '60/60']);
  await theSame();
});

test('what is written while many visits get their copy waits for one of them at most', async () => {
  const one = kiosk(async () => null);
  const store = await one.open();
  const visits = Array.from({ length: 40 }, (_, n) => inventedId(n));
  for (const visit of visits) await store.append(visit, [started({ visit })]);
  store.close();
  const again = await one.open({ secondCopy: async () => second });
  await again.append(visitId, begun);
  const copiedSoFar = new Set((await lying(second)).map(([, , row]) => (row as { visit: string }).visit));
  expect(copiedSoFar).toContain(visitId);
  expect(copiedSoFar.size).toBeLessThan(20);
  await vi.waitFor(theSame);
});
