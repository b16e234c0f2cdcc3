import 'fake-indexeddb/auto';
import { type IDBPDatabase, openDB } from 'idb';
import type { Disk } from '../../../src/records/migrations';
import { copied, marksRow } from '../../../src/records/second/changes';

/** Looks at what lies on a disk, or changes it, behind the store's back. */
export async function on<T>(disk: IDBFactory, work: (db: IDBPDatabase<Disk>) => Promise<T>): Promise<T> {
  const before = globalThis.indexedDB;
  globalThis.indexedDB = disk;
  const opening = openDB<Disk>('ownwords');
  globalThis.indexedDB = before;
  const db = await opening;
  try {
    return await work(db);
  } finally {
    db.close();
  }
}

/** All rows that have a second copy, with where they lie. */
export const lying = (disk: IDBFactory): Promise<[store: string, key: IDBValidKey, row: unknown][]> =>
  on(disk, async (db) => {
    const rows: [string, IDBValidKey, unknown][] = [];
    for (const store of [...copied].sort()) {
      const [keys, values] = await Promise.all([db.getAllKeys(store), db.getAll(store)]);
      const all = keys.map((key, at): (typeof rows)[number] => [store, key, values[at]]);
      rows.push(...all.filter(([, key]) => key !== marksRow));
    }
    return rows;
  });

/** Puts back what lay there before. */
export const lay = (disk: IDBFactory, rows: Awaited<ReturnType<typeof lying>>): Promise<void> =>
  on(disk, async (db) => {
    for (const store of copied) await db.clear(store);
    for (const [store, key, row] of rows) await db.put(store as 'visits', row, key as string);
  });

/** A disk that takes nothing more while it is full, and does not answer while it hangs. */
export function failing(disk: IDBFactory): { full: boolean; hangs: boolean; factory: IDBFactory } {
  const state = { full: false, hangs: false, factory: Object.create(disk) as IDBFactory };
  state.factory.open = (...how) => {
    const request = disk.open(...how);
    request.addEventListener('success', () => {
      const { result } = request;
      const { transaction } = result;
      result.transaction = (...asked) => {
        if (state.full && asked[1] === 'readwrite') throw new DOMException('no room', 'QuotaExceededError');
        const tx = transaction.apply(result, asked);
        const unheard = (event: Event) => state.hangs && event.stopImmediatePropagation();
        // Before whoever asked hears of it.
        for (const answer of ['success', 'complete']) tx.addEventListener(answer, unheard, true);
        return tx;
      };
    });
    return request;
  };
  return state;
}
