import { IDBFactory } from 'fake-indexeddb';
import fc from 'fast-check';
import { openDB, type StoreNames } from 'idb';
import { describe, expect, test } from 'vitest';
import { StoreError } from '../../src/records/errors';
import { interruptedVisit } from '../../src/records/interrupted';
import { type Disk, migrate, migrations } from '../../src/records/migrations';
import { openStore } from '../../src/records/open';
import { headerSchema, outboxSchema, readClip, readEvent } from '../../src/records/rows';
import { AccessError } from '../../src/records/seal/errors';
import type { Held } from '../../src/records/seal/slot';
import type { SetAside, VisitStore } from '../../src/records/types';
import { mutatedRuns } from '../mutated';
import { clip, kiosk, restored } from './backup/kiosks';
import { otherId, started, visitId, wholeVisit } from './fixtures';
import { fakeLocks } from './locks';
import { accessOf, device, meddle, rue } from './seal/kiosk';
import { fakeSlot } from './seal/slot';

/*
 * A disk on which rows were spoilt: bytes changed, fields missing or of another kind, half a row, a row in another
 * place, rows that are none of ours. The kiosk starts, lists, goes on and holds a new visit, and what was spoilt is
 * set aside and told, or lies where it lay.
 */

type Name = StoreNames<Disk>;
interface Row {
  store: Name;
  key: IDBValidKey;
  value: unknown;
}
const newId = '5e0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c33';
const openId = '6f1d8b63-6b1f-4d68-8c2f-1e9a6a1b2d44';

/** All rows of a kiosk with visits that have ended, one that was broken off, a recording and something set aside. */
async function goodDisk(sealed: boolean): Promise<{ rows: Row[]; held: Held | null }> {
  globalThis.indexedDB = new IDBFactory();
  const one = device();
  const store = await one.open();
  if (sealed) await (await accessOf(store)).setUp(rue);
  await store.append(visitId, [started({ recordNumber: 'A-17' }), ...wholeVisit.slice(1)]);
  await store.append(otherId, [
    started({ visit: otherId, recordNumber: 'A-19' }),
    { type: 'finished', how: 'stopped' },
  ]);
  await store.append(openId, [started({ visit: openId }), ...wholeVisit.slice(1, 6)]);
  await store.saveClip(clip);
  await meddle((db) => db.put('events', { nonsense: 1 }, [visitId, 500]));
  if (!sealed) await store.events(visitId);
  await (await store.digests()).put('basis', [], []);
  const access = await accessOf(store);
  await access.ledger.rememberClock({ seen: '2026-03-02T14:00:00.000Z', mended: null, wrong: [] });
  if (sealed) {
    await access.note('read', visitId);
    await store.events(visitId);
    await access.close('left');
  } else await access.noteNameless('erased', newId);
  store.close();
  const rows = await lying();
  return { rows, held: one.slot.held };
}

const cyclic: Record<string, unknown> = {};
cyclic.self = cyclic;
/** Whatever the browser can store. */
const odd: fc.Arbitrary<unknown> = fc.oneof(
  fc.constantFrom<unknown>(
    undefined,
    null,
    '',
    'garbage',
    '<img src=x onerror=alert(1)>',
    0,
    -1,
    1e308,
    Number.NaN,
    true,
    12n,
    new Date(0),
    new Map([[1, 2]]),
    cyclic,
    [],
    {},
    { sealed: 1 },
    new Uint8Array(0),
    new Uint8Array(48),
    visitId,
    '2026-03-02T14:05:00.000Z',
    '2019-01-01T00:00:00.000Z',
  ),
  fc.anything({ withDate: true, withTypedArray: true, withNullPrototype: false }).filter((value) => {
    try {
      structuredClone(value);
      return true;
    } catch {
      return false;
    }
  }),
);
const oddKey: fc.Arbitrary<IDBValidKey> = fc.constantFrom<IDBValidKey>(
  ...['', 'x', '__proto__', visitId, otherId, openId, newId, 0, 1, 7, -1, 0.5, 1e300],
  ...[Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.MAX_SAFE_INTEGER, new Date(5)],
  ...([
    [],
    [visitId],
    [5, 5],
    [visitId, -1],
    [visitId, 2.5],
    [openId, 1e300],
    [openId, 'x'],
  ] as IDBValidKey[]),
  ...([
    [openId, Number.MAX_SAFE_INTEGER],
    [openId, Number.POSITIVE_INFINITY],
    [newId, 0],
  ] as IDBValidKey[]),
  ...([
    [visitId, []],
    [openId, 6],
    [['a'], 0],
    ['zz', 0],
  ] as IDBValidKey[]),
  new Uint8Array([1, 2]),
);

type Harm =
  | { how: 'field'; row: number; at: number; value: unknown }
  | { how: 'gone'; row: number; at: number }
  | { how: 'bytes'; row: number; at: number; flip: number; cut: boolean }
  | { how: 'instead'; row: number; value: unknown }
  | { how: 'half'; row: number; at: number }
  | { how: 'moved'; row: number; key: IDBValidKey }
  | { how: 'twice'; row: number; key: IDBValidKey }
  | { how: 'swapped'; row: number; at: number }
  | { how: 'foreign'; store: number; key: IDBValidKey; value: unknown }
  | { how: 'lost'; row: number };
const harm = <H extends Harm['how']>(how: H, more: object) =>
  fc.record({ how: fc.constant(how), row: fc.nat(), at: fc.nat(), ...more }) as fc.Arbitrary<Harm>;
const harms: fc.Arbitrary<Harm[]> = fc.array(
  fc.oneof(
    harm('field', { value: odd }),
    harm('gone', {}),
    harm('bytes', { flip: fc.integer({ min: 1, max: 255 }), cut: fc.boolean() }),
    harm('instead', { value: odd }),
    harm('half', {}),
    harm('moved', { key: oddKey }),
    harm('twice', { key: oddKey }),
    harm('swapped', {}),
    harm('foreign', { store: fc.nat(), key: oddKey, value: odd }),
    harm('lost', {}),
  ),
  { minLength: 1, maxLength: 3 },
);

const plain = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && Object.getPrototypeOf(value) === Object.prototype;
function places(value: unknown, all: { of: Record<string, unknown>; key: string }[] = []) {
  if (!plain(value) && !Array.isArray(value)) return all;
  const of = value as Record<string, unknown>;
  for (const key of Object.keys(of)) {
    all.push({ of, key });
    if (all.length < 1_000) places(of[key], all);
  }
  return all;
}
const halfOf = (value: unknown, at: number) =>
  plain(value) ? Object.fromEntries(Object.entries(value).slice(0, at % Object.keys(value).length)) : value;

const idOf = ({ store, key }: Pick<Row, 'store' | 'key'>) => `${store} ${keyText(key)}`;
const keyText = (key: IDBValidKey): string =>
  Array.isArray(key)
    ? `[${key.map(keyText).join()}]`
    : key instanceof Date
      ? `date ${key.getTime()}`
      : ArrayBuffer.isView(key) || key instanceof ArrayBuffer
        ? 'bytes'
        : typeof key === 'number'
          ? `n${key}`
          : JSON.stringify(key);

/** Would it take all the numbers that the browser gives? */
const usesUp = ({ store, key }: Row) => ['set-aside', 'digests'].includes(store) && (key as number) > 1e9;

/** The rows after these harms, and which of them are not as they were. */
function spoilt(rows: readonly Row[], stores: readonly Name[], by: readonly Harm[]) {
  const now = new Map(rows.map((row) => [idOf(row), { ...row, value: structuredClone(row.value) }]));
  const touched = new Set<string>();
  for (const one of by) {
    if (one.how === 'foreign') {
      const row = {
        store: stores[one.store % stores.length]!,
        key: one.key,
        value: structuredClone(one.value),
      };
      if (usesUp(row)) continue;
      now.set(idOf(row), row);
      touched.add(idOf(row));
      continue;
    }
    const all = [...now.values()];
    const row = all[one.row % all.length]!;
    touched.add(idOf(row));
    const within = places(row.value);
    if (one.how === 'field' || one.how === 'gone') {
      const place = within[one.at % (within.length || 1)];
      if (!place) continue;
      if (one.how === 'gone') delete place.of[place.key];
      else place.of[place.key] = structuredClone(one.value);
    } else if (one.how === 'bytes') {
      const of = row.value instanceof Uint8Array ? { value: row.value } : null;
      const place = of ? { of, key: 'value' } : within.find(({ of, key }) => of[key] instanceof Uint8Array);
      if (!place) continue;
      const bytes = (place.of as Record<string, Uint8Array>)[place.key]!;
      const changed = bytes.slice(0, one.cut ? one.at % (bytes.length || 1) : bytes.length);
      if (changed.length > 0) changed[one.at % changed.length]! ^= one.flip;
      if (of) row.value = changed;
      else (place.of as Record<string, unknown>)[place.key] = changed;
    } else if (one.how === 'instead') row.value = structuredClone(one.value);
    else if (one.how === 'half') row.value = halfOf(row.value, one.at);
    else if (one.how === 'lost') now.delete(idOf(row));
    else if (one.how === 'swapped') {
      const other = all[one.at % all.length]!;
      touched.add(idOf(other));
      [row.value, other.value] = [other.value, row.value];
    } else {
      const copy = { ...row, key: one.key, value: structuredClone(row.value) };
      if (usesUp(copy)) continue;
      if (one.how === 'moved') now.delete(idOf(row));
      now.set(idOf(copy), copy);
      touched.add(idOf(copy));
    }
  }
  return { rows: [...now.values()], touched };
}

async function lay(rows: readonly Row[]): Promise<void> {
  globalThis.indexedDB = new IDBFactory();
  const db = await openDB<Disk>('ownwords', migrations.length, {
    upgrade: (made, from, _to, tx) => void migrate(migrations, made, from, tx),
  });
  for (const { store, key, value } of rows) await db.put(store, value as never, key as never);
  db.close();
}

/** What a person is told of whatever goes amiss; anything else is a fault of the program. */
function told(cause: unknown): string {
  if (cause instanceof StoreError || cause instanceof AccessError) return cause.message;
  throw cause;
}
const attempt = <T>(work: Promise<T>, otherwise: T, into: string[]): Promise<T> =>
  work.catch((cause: unknown) => {
    into.push(told(cause));
    return otherwise;
  });

/** Everything that a day at the kiosk reads. */
async function day(held: Held | null, locks: ReturnType<typeof fakeLocks>) {
  const slot = fakeSlot();
  slot.held = structuredClone(held);
  const aside: SetAside[] = [];
  const said: string[] = [];
  const store = await openStore({
    ...{ locks, lockWait: 20, slot, now: () => new Date('2026-03-03T09:00:00Z') },
    onTrouble: (trouble) => said.push(trouble.message),
    onKeyLeft: (sentence) => said.push(sentence),
    onSetAside: (found) => aside.push(found),
  });
  return { store, aside, said, slot };
}

async function goThrough(store: VisitStore, said: string[]) {
  const logs = new Map<string, unknown[]>();
  const interrupted = await attempt(interruptedVisit(store), null, said);
  if (interrupted) await attempt(store.events(interrupted), [], said);
  const access = await attempt(store.access(), null, said);
  if (store.sealed && access) {
    await attempt(access.open(rue.id, rue.secret), undefined, said);
    await attempt(access.people(), [], said);
    const { broken } = await attempt(access.trail(), { entries: [], broken: null }, said);
    if (broken) said.push(broken);
  }
  const listed = await store.list();
  for (const { visit } of listed) {
    const events = await attempt(store.events(visit), null, said);
    if (events) logs.set(visit, events);
  }
  await store.outbox();
  await store.clips();
  await attempt(
    store.digests().then((shelf) => shelf.pieces('basis')),
    { pieces: [], bad: [] },
    said,
  );
  await store.setAside();
  const opened = !store.sealed || Boolean(access?.session);
  // Whoever keeps a backup can restore it.
  const backup = access?.session ? (await (await access.archive()).save(rue.secret)).file : null;
  if (access?.session) await access.close('left');
  return { listed, logs, opened, backup };
}

const lying = (): Promise<Row[]> =>
  meddle(async (db) => {
    const all: Row[] = [];
    for (const name of db.objectStoreNames) {
      const [keys, values] = await Promise.all([db.getAllKeys(name), db.getAll(name)]);
      for (const [at, key] of keys.entries()) all.push({ store: name, key, value: values[at] });
    }
    return all;
  });

/** Can the row stand where it stands? */
function sound({ store, key, value }: Row): boolean {
  if (store === 'events') return 'event' in readEvent(key, value);
  if (store === 'clips') return 'clip' in readClip(key, value);
  const schema = store === 'visits' ? headerSchema : outboxSchema;
  const read = schema.safeParse(value);
  return read.success && read.data.visit === key;
}
const isSealed = (found: unknown) => plain(found) && found.sealed === 1;
const watched = new Set<Name>(['visits', 'events', 'outbox', 'clips']);

describe.each([
  ['open', false],
  ['sealed', true],
])('on a disk with rows spoilt, %s', (_how, sealed) => {
  test('the kiosk starts, lists, holds a new visit, and what was spoilt is set aside and told', async () => {
    const good = await goodDisk(sealed);
    const stores = [...new Set(good.rows.map(({ store }) => store))];
    const whole = new Map<string, unknown[]>();
    await lay(good.rows);
    {
      const { store, aside, said } = await day(good.held, fakeLocks());
      const { logs } = await goThrough(store, said);
      for (const [visit, log] of logs) whole.set(visit, log);
      expect([aside, said, [...whole.keys()].sort()]).toEqual([[], [], [visitId, otherId, openId].sort()]);
      store.close();
    }
    await fc.assert(
      fc.asyncProperty(harms, async (by) => {
        const { rows, touched } = spoilt(good.rows, stores, by);
        await lay(rows);
        const locks = fakeLocks();
        const first = await day(good.held, locks);
        const { logs, opened, backup } = await goThrough(first.store, first.said);

        // One that was broken off goes on, where its beginning and its key were spared.
        const going = [...touched].some((id) => id.includes(openId) || /^(keys|desk|staff)/.test(id));
        if (!going)
          expect((await first.store.append(openId, wholeVisit.slice(6))).length).toBe(wholeVisit.length - 6);

        // A new visit is held, and read back word for word.
        const facts = [started({ visit: newId }), ...wholeVisit.slice(1)];
        const taken =
          touched.size > 0 && rows.some((row) => JSON.stringify(keyText(row.key)).includes(newId));
        if (!taken) {
          for (const fact of facts) await first.store.append(newId, [fact]);
          expect((await first.store.events(newId)).map(({ fact }) => fact)).toEqual(facts);
        }
        first.store.close();

        const after = await lying();
        const kept = after.flatMap(({ store, value }) =>
          store === 'set-aside' && plain(value) ? (value as unknown as SetAside) : [],
        );
        const places = new Map(after.map((row) => [idOf(row), row]));
        if (first.store.mode === 'disk')
          for (const row of rows) {
            if (!watched.has(row.store)) continue;
            const now = places.get(idOf(row));
            if (sound(row) && now) continue;
            // What nobody has opened is not read, and where the key of a visit does not open, nothing of it is touched.
            const [visit] = [row.key].flat();
            if (now && !opened && first.said.length > 0) continue;
            if (now && first.said.some((sentence) => sentence.includes(`visit ${visit}`))) continue;
            const news = first.aside.find(
              ({ store, found }) => store === row.store && same(found, row.value),
            );
            expect(news, `told: ${idOf(row)}`).toBeDefined();
            // As it was found, or sealed since.
            const found = kept.filter(
              (one) => one.where === news!.where && (same(one.found, row.value) || isSealed(one.found)),
            );
            expect(found.length, `set aside: ${idOf(row)}`).toBeGreaterThan(0);
          }
        else expect(first.said).not.toEqual([]);

        // Visits of which no row was touched are read as ever.
        const spared = [...whole].filter(
          ([visit]) => ![...touched].some((id) => id.includes(visit) || /^(keys|desk|staff)/.test(id)),
        );
        for (const [visit, log] of spared) expect(logs.get(visit)).toEqual(log);

        // The next day nothing new is found.
        const again = await day(first.slot.held, locks);
        await goThrough(again.store, again.said);
        expect(again.aside).toEqual([]);
        again.store.close();

        if (!backup) return;
        const elsewhere = await kiosk();
        await restored(elsewhere, backup);
        for (const [visit, log] of spared) expect(await elsewhere.store.events(visit)).toEqual(log);
        elsewhere.store.close();
      }),
      mutatedRuns(40),
    );
  }, 3_600_000);
});

const same = (a: unknown, b: unknown): boolean => {
  try {
    expect(a).toEqual(b);
    return true;
  } catch {
    return false;
  }
};
