import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, describe, expect, test } from 'vitest';
import { MemoryStore } from '../../../src/records/memory';
import type { VisitFact, VisitStore } from '../../../src/records/types';
import type { VisitDigest } from '../../../src/records/ward/digest';
import { bringUpToDate, pieceSize } from '../../../src/records/ward/update';
import { module, otherId, started, teaching, visitId, wholeVisit } from '../fixtures';
import { accessOf, allThatLies, anotherWard, device, meddle, rue } from '../seal/kiosk';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const texts = { lamp: { module, teaching } };
const short: VisitFact[] = [
  started({ visit: otherId, language: 'fr' }),
  { type: 'step-started', step: 'light' },
  { type: 'finished', how: 'stopped' },
];

/** Brings the digests up to date. @returns them, and how many logs were read for it */
async function update(store: VisitStore, change: object = {}) {
  let read = 0;
  const seen: [number, number][] = [];
  const { digests } = await bringUpToDate({
    store: {
      list: () => store.list(),
      events: (visit) => {
        read++;
        return store.events(visit);
      },
    },
    shelf: await store.digests(),
    texts,
    onProgress: (done, of) => seen.push([done, of]),
    signal: new AbortController().signal,
    ...change,
  });
  return { digests: digests.sort((a, b) => a.visit.localeCompare(b.visit)), read, seen };
}

async function sealedDevice() {
  const one = device();
  const store = await one.open();
  const access = await accessOf(store);
  await access.setUp(rue);
  return { ...one, store, access };
}
const rows = () => meddle((db) => db.getAll('digests')) as Promise<{ visits: string[]; key: unknown }[]>;

const point = (
  name: string,
  first: string | null,
  outcome: string,
  tries: number | null,
  retaught: number,
) => ({
  concept: `lamp.${name}`,
  first,
  outcome,
  tries,
  retaught,
});
/** By hand, from `wholeVisit`. */
const whole = (store: { at: string }) => ({
  visit: visitId,
  events: wholeVisit.length,
  at: store.at,
  module: 'lamp',
  version: '1.0.0',
  language: 'en',
  recheck: false,
  points: [
    point('light.shake', 'misconception', 'needs-person', null, 1),
    point('light.lips', 'missed', 'after-reteach', 2, 1),
    point('light.extra', 'missed', 'not-said', null, 0),
    point('care.rinse', 'understood', 'first-try', 1, 0),
    point('care.call', 'understood', 'first-try', 1, 0),
  ],
});
const at = '2026-03-02T14:00:00.000Z';

describe.each(['sealed', 'open', 'memory'] as const)('a store that is %s', (kind) => {
  const opened = async (): Promise<VisitStore> => {
    if (kind === 'memory') return new MemoryStore(() => new Date(at));
    if (kind === 'open') return device().open();
    return (await sealedDevice()).store;
  };

  test('gives a digest of each visit that has ended, without practice', async () => {
    const store = await opened();
    await store.append(visitId, wholeVisit);
    await store.append(otherId, short);
    const third = `0${visitId.slice(1)}`;
    await store.append(third, [started({ visit: third }), { type: 'step-started', step: 'light' }]);
    const drill = `1${visitId.slice(1)}`;
    await store.append(drill, [started({ visit: drill, practice: true }), ...wholeVisit.slice(1)]);
    const { digests, seen } = await update(store);
    expect(digests).toMatchObject([
      whole({ at }),
      { visit: otherId, language: 'fr', points: Array(5).fill({ first: null, outcome: 'not-asked' }) },
    ]);
    expect(seen[0]).toEqual([0, 2]);
    expect(seen.at(-1)).toEqual([2, 2]);
  });
});

describe('digests that are stored', () => {
  test('are read instead of the logs, also after the page was closed', async () => {
    const { store, open } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    expect(await update(store)).toMatchObject({ read: 1, digests: [whole({ at })] });
    expect(await update(store)).toMatchObject({ read: 0, seen: [], digests: [whole({ at })] });
    store.close();
    const again = await open();
    await (await accessOf(again)).open(rue.id, rue.secret);
    expect(await update(again)).toMatchObject({ read: 0, digests: [whole({ at })] });
  });

  test('are made anew for a visit whose log has grown, and for no other', async () => {
    const { store } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    await store.append(otherId, short);
    await update(store);
    await store.append(otherId, [{ type: 'record-number', number: 'A-19' }]);
    const { read, digests } = await update(store);
    expect(read).toBe(1);
    expect(digests.map(({ events }) => events)).toEqual([wholeVisit.length, short.length + 1]);
    // The piece was packed anew.
    expect((await rows()).map(({ visits }) => visits.length)).toEqual([2]);
  });

  test('are made anew when another version of a module is taught', async () => {
    const { store } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    await update(store);
    const newer = { lamp: { module: { ...module, version: '1.0.1' }, teaching } };
    expect((await update(store, { texts: newer })).read).toBe(1);
    expect((await update(store, { texts: newer })).read).toBe(0);
    expect(await rows()).toHaveLength(1);
  });

  test('lie sealed, without names and without a word of what was said', async () => {
    const { store, access } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    await update(store);
    const lies = await allThatLies();
    for (const word of ['Ines', 'Quillon, educator', 'lips tight', 'lamp.light', 'misconception'])
      expect(lies).not.toContain(word);
    await access.close('tested');
    await expect(update(store)).rejects.toMatchObject({ code: 'sealed' });
  });

  test('hold no name and no word where nothing is sealed either', async () => {
    const store = await device().open();
    await store.append(visitId, wholeVisit);
    await update(store);
    const text = (await rows()).map((row) =>
      new TextDecoder().decode((row as never as { bytes: Uint8Array }).bytes),
    );
    expect(text.join()).toContain('lamp.light.shake');
    for (const word of ['Ines', 'Marlow', 'Quillon', 'Harbor', 'lips tight', 'rinse and dry', 'dog'])
      expect(text.join()).not.toContain(word);
  });

  test.each([
    ['a changed byte', (row: { bytes: Uint8Array }) => row.bytes.set([row.bytes[20]! ^ 1], 20)],
    ['cut bytes', (row: { bytes: Uint8Array }) => ({ ...row, bytes: row.bytes.slice(0, 30) })],
    ['another list of visits', (row: object) => ({ ...row, visits: [visitId, otherId] })],
    ['another key', (row: object) => ({ ...row, key: new Uint8Array(384) })],
    ['nothing of what it should be', () => 'garbage'],
    ['no seal', (row: object) => ({ ...row, key: null, bytes: new TextEncoder().encode('{}') })],
  ] as [string, (row: never) => unknown][])('with %s are made anew and replaced', async (_what, spoil) => {
    const { store } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    await update(store);
    await meddle(async (db) => {
      const [key] = await db.getAllKeys('digests');
      const row = (await db.get('digests', key!)) as never;
      await db.put('digests', spoil(row) ?? row, key!);
    });
    expect(await update(store)).toMatchObject({ read: 1, digests: [whole({ at })] });
    expect(await update(store)).toMatchObject({ read: 0 });
    expect(await rows()).toHaveLength(1);
  });

  test('go with a visit that is erased, while nobody has opened as well', async () => {
    const { store, access } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    await store.append(otherId, short);
    await update(store);
    await access.close('tested');
    await store.erase(visitId);
    expect(await allThatLies()).not.toContain(visitId);
    await access.open(rue.id, rue.secret);
    expect((await update(store)).digests.map(({ visit }) => visit)).toEqual([otherId]);
  });

  test('of a visit that is erased while they are made are not stored', async () => {
    const { store } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    const shelf = await store.digests();
    await update(store, {
      shelf: {
        ...shelf,
        put: async (...given: Parameters<typeof shelf.put>) => {
          await store.erase(visitId);
          await shelf.put(...given);
        },
      },
    });
    expect(await rows()).toEqual([]);
  });

  test('go with the key of the ward, and are made anew under the next', async () => {
    const { store, access } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    await update(store);
    anotherWard();
    await access.exchangeKey(rue.secret);
    expect(await rows()).toEqual([]);
    expect(await update(store)).toMatchObject({ read: 1, digests: [whole({ at })] });
  });

  test('that lay open go when the records are sealed', async () => {
    const one = device();
    const store = await one.open();
    await store.append(visitId, wholeVisit);
    await update(store);
    expect((await rows())[0]).toMatchObject({ visits: [visitId], key: null });
    await (await accessOf(store)).setUp(rue);
    expect(await rows()).toEqual([]);
    expect(await update(store)).toMatchObject({ read: 1, digests: [whole({ at })] });
    expect((await rows())[0]?.key).not.toBe(null);
  });
});

describe('what stands in the way', () => {
  test('of one visit is told in its place: its beginning, its module or its key is lost', async () => {
    const { store } = await sealedDevice();
    const [gone, away] = [`0${visitId.slice(1)}`, `1${visitId.slice(1)}`];
    await store.append(visitId, wholeVisit);
    await store.append(otherId, short);
    await store.append(away, [started({ visit: away, module: 'kettle' }), ...wholeVisit.slice(1)]);
    await store.append(gone, [started({ visit: gone }), ...wholeVisit.slice(1)]);
    store.putDown();
    await meddle(async (db) => {
      await db.put('keys', new Uint8Array(384), otherId);
      await db.put('events', 'garbage', [gone, 0]);
    });
    const { digests } = await update(store);
    expect(digests.map((digest) => ('why' in digest ? digest.why : 'counted'))).toEqual([
      'its beginning is lost',
      '“kettle” is not taught here any more',
      'counted',
      'its key does not open',
    ]);
    expect((await update(store)).read).toBe(0);
  });

  test('is no shelf that cannot be written', async () => {
    const { store } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    const shelf = {
      pieces: async () => ({ pieces: [], bad: [] }),
      put: () => Promise.reject(new Error('full')),
    };
    expect((await update(store, { shelf })).digests).toMatchObject([whole({ at })]);
  });

  test('is told when it is the whole store, and when staff go elsewhere it ends', async () => {
    const { store } = await sealedDevice();
    await store.append(visitId, wholeVisit);
    await expect(update(store, { signal: AbortSignal.abort(new Error('gone')) })).rejects.toThrow('gone');
    const lost = { list: () => store.list(), events: () => Promise.reject(new Error('the disk is gone')) };
    await expect(update(store, { store: lost })).rejects.toThrow('the disk is gone');
  });
});

test('many visits lie in pieces, of which only those that change are packed anew', async () => {
  const ids = Array.from({ length: pieceSize + 3 }, (_, n) => `${visitId.slice(0, -3)}${100 + n}`);
  const store = await device().open();
  for (const visit of ids)
    await store.append(visit, [started({ visit }), { type: 'finished', how: 'stopped' }]);
  const sizes = async () => (await rows()).map(({ visits }) => visits.length).sort((a, b) => b - a);
  expect((await update(store)).digests).toHaveLength(ids.length);
  expect(await sizes()).toEqual([pieceSize, 3]);
  await store.append(visitId, wholeVisit);
  expect(await update(store)).toMatchObject({ read: 1 });
  expect(await sizes()).toEqual([pieceSize, 4]);
  // A change in the full piece: what is left of both is packed anew.
  const full = (await rows()).find(({ visits }) => visits.length === pieceSize)!;
  await store.append(full.visits[7]!, [{ type: 'record-number', number: 'A-19' }]);
  const { read, digests } = await update(store);
  expect(read).toBe(1);
  expect(digests).toHaveLength(ids.length + 1);
  expect(await sizes()).toEqual([pieceSize, 4]);
  expect((await update(store)).read).toBe(0);
});

test('a first answer that is unsure is not taken for understood', async () => {
  const store = new MemoryStore();
  const finding = {
    concept: 'lamp.light.shake',
    label: 'understood' as const,
    confidence: 0.3,
    evidence: [],
    reason: '',
  };
  const asked = { step: 'light', attempt: 1, concepts: ['lamp.light.shake'] };
  await store.append(visitId, [
    started(),
    { type: 'asked', ...asked, text: '?' },
    { type: 'judged', step: 'light', attempt: 1, findings: [finding] },
    { type: 'finished', how: 'completed' },
  ]);
  const { digests } = await update(store);
  expect((digests[0] as VisitDigest).points[0]).toMatchObject({ first: 'unsure', tries: null });
});
