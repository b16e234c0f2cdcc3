import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import type { Disk } from '../../../src/records/migrations';
import type { Access } from '../../../src/records/seal/access';
import { type DiskOptions, openDiskStore } from '../../../src/records/store';
import type { SetAside, VisitStore } from '../../../src/records/types';
import { fakeLocks } from '../locks';
import { fakeSlot } from './slot';

export const rue = { id: 'rue', name: 'R. Quillon', secret: 'brass lantern over a quiet harbor' };
export const odo = { id: 'odo', name: 'O. Fennimore', secret: 'seven green kettles sing at noon' };

/** A pair of RSA keys takes half a second: one is made, and serves all wards of a test file. */
const { generateKey } = crypto.subtle;
let pair: Promise<unknown> | null = null;
crypto.subtle.generateKey = ((...how: Parameters<typeof generateKey>) => {
  const make = () => generateKey.apply(crypto.subtle, how);
  if ((how[0] as Algorithm).name !== 'RSA-OAEP') return make();
  pair ??= make();
  return pair;
}) as typeof generateKey;

/** The next ward gets a pair of its own. */
export const anotherWard = () => {
  pair = null;
};

/** For what would come back from the second copy. */
export const noSecondCopy: DiskOptions = { secondCopy: async () => null };

/** A device: what lies on it outlives the pages opened on it. */
export function device(more: DiskOptions = {}) {
  const slot = fakeSlot();
  const second = new IDBFactory();
  const locks = fakeLocks();
  const told: SetAside[] = [];
  const clock = { now: new Date('2026-03-02T14:00:00Z') };
  const options: DiskOptions = {
    locks,
    lockWait: 20,
    slot,
    secondCopy: async () => second,
    now: () => clock.now,
    onSetAside: (found) => told.push(found),
    ...more,
  };
  const open = (change: DiskOptions = {}): Promise<VisitStore> => openDiskStore({ ...options, ...change });
  return {
    options,
    slot,
    told,
    open,
    pass(minutes: number) {
      clock.now = new Date(clock.now.getTime() + minutes * 60_000);
    },
  };
}

export async function accessOf(store: VisitStore): Promise<Access> {
  const access = await store.access();
  if (!access) throw new Error('this store keeps nothing');
  return access;
}

/** A device whose records are sealed, closed again. */
export async function sealedDevice() {
  const one = device();
  const store = await one.open();
  const access = await accessOf(store);
  const code = await access.setUp(rue);
  await access.close('tested');
  return { ...one, store, access, code };
}

/** Looks at rows, or changes them, behind the store's back. */
export async function meddle<T>(
  work: (db: Awaited<ReturnType<typeof openDB<Disk>>>) => Promise<T>,
): Promise<T> {
  const db = await openDB<Disk>('ownwords');
  try {
    return await work(db);
  } finally {
    db.close();
  }
}

/** All that lies in the database, as letters: bytes of strings as well as of arrays. */
export const allThatLies = (): Promise<string> =>
  meddle(async (db) => {
    const rows = await Promise.all([...db.objectStoreNames].map((name) => db.getAll(name)));
    return JSON.stringify(rows, (_key, value) =>
      value instanceof Uint8Array ? Buffer.from(value).toString('latin1') : value,
    );
  });
