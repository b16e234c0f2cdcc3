import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { StoreError } from '../../src/records/errors';
import type { Disk } from '../../src/records/migrations';
import { migrations } from '../../src/records/migrations';
import { type DiskOptions, openDiskStore } from '../../src/records/store';
import type { SetAside, VisitFact, VisitStore } from '../../src/records/types';
import { otherId, started, visitId, wholeVisit } from './fixtures';
import { fakeLocks } from './locks';
import { noRoom } from './noRoom';

let locks = fakeLocks();

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  locks = fakeLocks();
  vi.restoreAllMocks();
});

const open = (options: DiskOptions = {}): Promise<VisitStore> =>
  openDiskStore({ locks, lockWait: 20, ...options });

const asked = (text: string): VisitFact => ({ type: 'question', text, answer: null });

/** Changes rows behind the store's back. */
async function meddle(work: (db: Awaited<ReturnType<typeof openDB<Disk>>>) => Promise<unknown>) {
  const db = await openDB<Disk>('ownwords');
  await work(db);
  db.close();
}

const codeOf = (promise: Promise<unknown>): Promise<string> =>
  promise.then(
    () => 'no error',
    (error: unknown) => (error instanceof StoreError ? error.code : `not typed: ${String(error)}`),
  );

describe('a visit on disk', () => {
  test('comes back word for word after the page was closed', async () => {
    const first = await open();
    const written = await first.append(visitId, wholeVisit);
    first.close();
    const again = await open();
    expect(await again.events(visitId)).toEqual(written);
    expect(written.map(({ seq }) => seq)).toEqual(wholeVisit.map((_, index) => index));
    expect(written.map(({ fact }) => fact)).toEqual(wholeVisit);
  });

  test('is flushed to disk for every one of 100 events', async () => {
    const store = await open();
    const begin = vi.spyOn(IDBDatabase.prototype, 'transaction');
    await store.append(visitId, [started()]);
    for (let index = 1; index < 100; index += 1) await store.append(visitId, [asked(`question ${index}`)]);
    const writes = begin.mock.calls.filter(([, mode]) => mode === 'readwrite');
    expect(writes).toHaveLength(100);
    expect(writes.every(([, , options]) => options?.durability === 'strict')).toBe(true);
    expect((await store.events(visitId)).map(({ seq }) => seq)).toEqual([...Array(100).keys()]);
  });

  test('numbers events without gaps when appends come at the same time', async () => {
    const store = await open();
    await store.append(visitId, [started()]);
    const parts = await Promise.all(
      Array.from({ length: 25 }, (_, index) =>
        store.append(visitId, [asked(`a ${index}`), asked(`b ${index}`)]),
      ),
    );
    for (const [a, b] of parts) expect(b?.seq).toBe((a?.seq ?? Number.NaN) + 1);
    expect((await store.events(visitId)).map(({ seq }) => seq)).toEqual([...Array(51).keys()]);
  });

  test('is refused whole when one of its facts does not fit, with what and where', async () => {
    const store = await open();
    await store.append(visitId, [started()]);
    const bad = { type: 'question', text: 7, answer: null } as unknown as VisitFact;
    const refusal = store.append(visitId, [asked('fine'), bad]);
    await expect(refusal).rejects.toThrow(/event 2: fact\.text: expected string/);
    expect(await codeOf(store.append(visitId, [bad]))).toBe('invalid');
    expect(await store.events(visitId)).toHaveLength(1);
    expect((await store.append(visitId, [asked('next')]))[0]?.seq).toBe(1);
  });

  test('starts once, first, and under its own name', async () => {
    const store = await open();
    expect(await codeOf(store.append(visitId, [asked('too early')]))).toBe('invalid');
    expect(await codeOf(store.append(otherId, [started()]))).toBe('invalid');
    await store.append(visitId, [started()]);
    expect(await codeOf(store.append(visitId, [started()]))).toBe('invalid');
    expect(await store.list()).toHaveLength(1);
  });

  test('is a candidate to go on with until it is finished', async () => {
    let minute = 0;
    const store = await open({ now: () => new Date(Date.UTC(2026, 2, 2, 14, minute++)) });
    await store.append(visitId, [started({ practice: true })]);
    await store.append(otherId, [started({ visit: otherId }), asked('why?')]);
    expect((await store.openVisits()).map(({ visit }) => visit)).toEqual([otherId, visitId]);
    await store.append(otherId, [{ type: 'finished', how: 'stopped' }]);
    expect((await store.openVisits()).map(({ visit }) => visit)).toEqual([visitId]);
    expect(await store.list()).toEqual([
      {
        visit: otherId,
        practice: false,
        startedAt: '2026-03-02T14:01:00.000Z',
        lastAt: '2026-03-02T14:02:00.000Z',
        finished: 'stopped',
        next: 3,
        signed: 'no',
      },
      {
        visit: visitId,
        practice: true,
        startedAt: '2026-03-02T14:00:00.000Z',
        lastAt: '2026-03-02T14:00:00.000Z',
        finished: null,
        next: 1,
        signed: 'no',
      },
    ]);
  });

  test('leaves nothing behind when it is erased, and the other visit stays', async () => {
    const store = await open();
    await store.append(visitId, wholeVisit);
    await store.append(otherId, [started({ visit: otherId })]);
    await meddle((db) => db.put('events', { torn: 'Ines Marlow' }, [visitId, 2]));
    await store.events(visitId);
    expect(await store.setAside()).toHaveLength(1);
    await store.erase(visitId);
    expect(await store.events(visitId)).toEqual([]);
    expect(await store.setAside()).toEqual([]);
    expect((await store.list()).map(({ visit }) => visit)).toEqual([otherId]);
    await meddle(async (db) => {
      const rows = await Promise.all([db.getAll('visits'), db.getAll('events'), db.getAll('set-aside')]);
      expect(JSON.stringify(rows)).not.toContain(visitId);
    });
  });
});

describe('rows that cannot be read', () => {
  test('are set aside with what and where, and the rest is read', async () => {
    const told: SetAside[] = [];
    const store = await open({ onSetAside: (found) => told.push(found) });
    await store.append(visitId, wholeVisit);
    const torn = { visit: visitId, seq: 5, at: '2026-03-02T14:05:00.000Z' }; // cut off before its fact
    await meddle(async (db) => {
      await db.put('events', torn, [visitId, 5]);
      await db.put('events', 'garbage', [visitId, 7]);
    });
    const kept = (await store.events(visitId)).map(({ seq }) => seq);
    expect(kept).toEqual([...wholeVisit.keys()].filter((seq) => seq !== 5 && seq !== 7));
    expect(await store.setAside()).toEqual(told);
    expect(told).toMatchObject([
      { store: 'events', visit: visitId, where: 'event 5', found: torn },
      { store: 'events', visit: visitId, where: 'event 7', found: 'garbage' },
    ]);
    expect(told[0]?.why).toContain('fact');
    expect(await store.events(visitId)).toHaveLength(kept.length);
    expect(told).toHaveLength(2);
  });

  test('are those filed under the wrong number or an impossible one, too', async () => {
    const store = await open();
    await store.append(visitId, [started(), asked('one')]);
    await meddle(async (db) => {
      const row = await db.get('events', [visitId, 1]);
      await db.put('events', row, [visitId, 2]);
      await db.put('events', row, [visitId, 'x'] as unknown as [string, number]);
    });
    expect((await store.events(visitId)).map(({ seq }) => seq)).toEqual([0, 1]);
    expect((await store.setAside()).map(({ where }) => where)).toEqual(['event 2', 'event x']);
  });

  test('do not give their number to a later event', async () => {
    const store = await open();
    await store.append(visitId, [started(), asked('one'), asked('two')]);
    await meddle(async (db) => {
      await db.put('events', null, [visitId, 2]);
      await db.delete('visits', visitId);
    });
    await store.events(visitId);
    expect((await store.append(visitId, [asked('three')]))[0]?.seq).toBe(3);
  });

  test('as headers are made anew from the log, and so are missing ones', async () => {
    const told: string[] = [];
    const first = await open();
    await first.append(visitId, wholeVisit);
    await first.append(otherId, [started({ visit: otherId })]);
    const before = await first.list();
    first.close();
    await meddle(async (db) => {
      await db.put('visits', { visit: visitId, next: 'soon' }, visitId);
      await db.delete('visits', otherId);
    });
    const store = await open({ onSetAside: ({ where, why }) => told.push(`${where}: ${why}`) });
    expect(await store.list()).toEqual(before);
    expect(told).toHaveLength(2);
    expect(told.sort()).toEqual([
      'header of the visit: missing',
      expect.stringContaining('header of the visit: practice: expected boolean'),
    ]);
    expect(await store.list()).toEqual(before);
    expect(told).toHaveLength(2);
  });

  test('and logs without a header are found before, between and behind all others', async () => {
    const first = await open({ now: () => new Date('2026-03-02T14:00:00Z') });
    const ids = ['1', '5', '7', '9', 'c', 'f'].map((digit) => `${digit}${visitId.slice(1)}`);
    for (const visit of ids) await first.append(visit, [started({ visit }), asked('why?')]);
    first.close();
    await meddle(async (db) => {
      for (const index of [0, 2, 3, 5]) await db.delete('visits', ids[index]!);
      // Keys that no visit has are no visit.
      await db.put('events', 'stray', 7 as never);
      await db.put('events', 'stray', [8] as never);
    });
    const store = await open();
    expect((await store.list()).map(({ visit }) => visit)).toEqual(ids);
    await meddle(async (db) => {
      for (const visit of ids) await db.delete('visits', visit);
    });
    store.close();
    expect((await (await open()).list()).map(({ visit }) => visit)).toEqual(ids);
  });

  test('and a header that lags behind its log is mended before it is shown', async () => {
    const first = await open();
    await first.append(visitId, [started(), asked('one'), { type: 'finished', how: 'completed' }]);
    const [before] = await first.list();
    first.close();
    await meddle((db) => db.put('visits', { ...before, next: 2, finished: null }, visitId));
    const store = await open();
    expect(await store.openVisits()).toEqual([]);
    expect(await store.list()).toEqual([before]);
  });

  test('as headers that lag behind the log do not make a number come twice', async () => {
    const store = await open();
    await store.append(visitId, [started(), asked('one'), asked('two')]);
    await meddle(async (db) => {
      const header = (await db.get('visits', visitId)) as object;
      await db.put('visits', { ...header, next: 2 }, visitId);
    });
    expect((await store.append(visitId, [asked('three')]))[0]?.seq).toBe(3);
  });

  test('are told but left where they are by a window that only reads', async () => {
    const writer = await open();
    await writer.append(visitId, [started(), asked('one')]);
    await meddle((db) => db.put('events', {}, [visitId, 1]));
    const told: SetAside[] = [];
    const reader = await open({ onSetAside: (found) => told.push(found) });
    expect(await reader.events(visitId)).toHaveLength(1);
    expect(told).toHaveLength(1);
    expect(await writer.setAside()).toEqual([]);
    await writer.events(visitId);
    expect(await writer.setAside()).toHaveLength(1);
  });
});

describe('when storage gives trouble', () => {
  test('a second window reads and is refused to write until the first is closed', async () => {
    const first = await open();
    await first.append(visitId, [started()]);
    const second = await open();
    expect([first.mode, second.mode]).toEqual(['disk', 'read-only']);
    expect(await second.events(visitId)).toHaveLength(1);
    expect(await codeOf(second.append(visitId, [asked('me too')]))).toBe('read-only');
    expect(await codeOf(second.erase(visitId))).toBe('read-only');
    await expect(second.append(visitId, [asked('me too')])).rejects.toThrow(/open in another window/);
    first.close();
    const third = await open();
    expect(third.mode).toBe('disk');
  });

  test('a full disk is a typed error in plain words and writes nothing of the append', async () => {
    const store = await open();
    await store.append(visitId, [started()]);
    noRoom((_, calls) => calls === 2);
    const refusal = store.append(visitId, [asked('one'), asked('two')]);
    await expect(refusal).rejects.toThrow(/no room left/);
    await expect(refusal).rejects.toMatchObject({ code: 'full' });
    vi.restoreAllMocks();
    expect(await store.events(visitId)).toHaveLength(1);
    expect((await store.append(visitId, [asked('three')]))[0]?.seq).toBe(1);
  });

  test('a disk that turns out full only at the commit is the same error', async () => {
    const store = await open();
    await store.append(visitId, [started()]);
    const put = IDBObjectStore.prototype.put;
    vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, ...args) {
      const request = put.apply(this, args);
      // As browsers do: the transaction fails with the reason, its requests only with AbortError.
      (this.transaction as unknown as { _abort(name: string): void })._abort('QuotaExceededError');
      return request;
    });
    expect(await codeOf(store.append(visitId, [asked('one')]))).toBe('full');
    vi.restoreAllMocks();
    expect(await store.events(visitId)).toHaveLength(1);
  });

  test('data of a newer version is left alone', async () => {
    const newer = await openDB('ownwords', 99);
    newer.close();
    const refusal = open();
    await expect(refusal).rejects.toThrow(/newer Ownwords/);
    expect(await codeOf(open())).toBe('newer-version');
    expect((await indexedDB.databases())[0]?.version).toBe(99);
  });

  test('a window of an older version that stays open blocks an upgrade, and the error says so', async () => {
    const old = await openDB('ownwords', 1);
    expect(await codeOf(open({ steps: [...migrations, () => undefined] }))).toBe('blocked');
    old.close();
  });

  test('a browser without storage, or one that refuses it, is told apart from one without locks', async () => {
    vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('denied', 'SecurityError');
    });
    expect(await codeOf(open())).toBe('refused');
    vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('A mutation operation was attempted', 'InvalidStateError');
    });
    expect(await codeOf(open())).toBe('refused');
    expect(await codeOf(open({ locks: undefined }))).toBe('unsupported');
    Reflect.deleteProperty(globalThis, 'indexedDB');
    globalThis.indexedDB = undefined as unknown as IDBFactory;
    expect(await codeOf(open())).toBe('refused');
  });

  test('the writer lock is free again after opening failed', async () => {
    const newer = await openDB('ownwords', 99);
    newer.close();
    expect(await codeOf(open())).toBe('newer-version');
    globalThis.indexedDB = new IDBFactory();
    expect((await open()).mode).toBe('disk');
  });

  test('a closed connection is a lost one, not a crash', async () => {
    const store = await open();
    store.close();
    expect(await codeOf(store.append(visitId, [started()]))).toBe('lost');
    expect(await codeOf(store.events(visitId))).toBe('lost');
  });

  test('staff learn whether the browser keeps the visits for good', async () => {
    const answer = (persisted: boolean, persist: boolean) => ({
      persisted: async () => persisted,
      persist: async () => persist,
    });
    expect((await (await open({ storage: answer(false, true) })).persist()).kept).toBe(true);
    expect((await (await open({ storage: answer(true, false) })).persist()).kept).toBe(true);
    const no = await (await open({ storage: answer(false, false) })).persist();
    expect(no).toEqual({ kept: false, sentence: expect.stringContaining('may clear') });
    expect((await (await open({ storage: undefined })).persist()).kept).toBe(false);
  });
});
