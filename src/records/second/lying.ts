import type { Reading, StoreName } from '../database';
import { everyEventOf } from '../headers';
import type { Side } from './patient';

/* Rows as they lie in a database, whatever is in them. */

/** A row and where it lies. */
export interface Lying {
  store: StoreName;
  key: IDBValidKey;
  put: unknown;
}

export type Rows = Map<IDBValidKey, unknown>;

interface Store {
  get(key: IDBValidKey): Promise<unknown>;
  getAll(range?: IDBKeyRange): Promise<unknown[]>;
  getAllKeys(range?: IDBKeyRange): Promise<IDBValidKey[]>;
}

const storeIn = (tx: Reading, store: StoreName) => tx.objectStore(store) as unknown as Store;

/** By key. */
export async function rowsIn(tx: Reading, store: StoreName, range?: IDBKeyRange): Promise<Rows> {
  const rows = storeIn(tx, store);
  const [keys, values] = await Promise.all([rows.getAllKeys(range), rows.getAll(range)]);
  return new Map(keys.map((key, index) => [key, values[index]]));
}

/** The keys alone, with null for each. */
export async function keysIn(tx: Reading, store: StoreName): Promise<Rows> {
  return new Map((await storeIn(tx, store).getAllKeys()).map((key) => [key, null]));
}

export function lyingUnder(tx: Reading, store: StoreName, keys: readonly IDBValidKey[]): Promise<Lying[]> {
  const rows = storeIn(tx, store);
  return Promise.all(keys.map(async (key) => ({ store, key, put: await rows.get(key) })));
}

/** All that lies of a visit, but for what is filed of it and what was set aside. */
export async function lyingOf(database: Side, visit: string): Promise<Lying[]> {
  const stores = (['visits', 'keys', 'events'] as const).filter((store) => database.has(store));
  return database.read([...stores], async (tx) => {
    const found = await Promise.all(
      stores.map(async (store) => {
        const range = store === 'events' ? everyEventOf(visit) : IDBKeyRange.only(visit);
        return [...(await rowsIn(tx, store, range))].map(([key, put]): Lying => ({ store, key, put }));
      }),
    );
    return found.flat();
  });
}
