import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from 'idb';
import type { EventKey } from './rows';

/** Rows are unknown on purpose: each read is checked. */
export interface Disk extends DBSchema {
  visits: { key: string; value: unknown };
  clips: { key: string; value: unknown };
  events: { key: EventKey; value: unknown };
  /** By visit: how far its filing in the hospital's records is. */
  outbox: { key: string; value: unknown };
  'set-aside': { key: number; value: unknown; indexes: { visit: string } };
  /** By visit: its data key, wrapped to the key of the ward. */
  keys: { key: string; value: unknown };
  /** 'ward': the key of the ward; 'head': the newest entry of the trail. */
  desk: { key: string; value: unknown };
  staff: { key: string; value: unknown };
  /** What the figures of the ward are counted from, in pieces: see ward/shelf.ts. */
  digests: { key: number; value: unknown };
  trail: { key: number; value: unknown };
}

export type Upgrade = IDBPTransaction<Disk, StoreNames<Disk>[], 'versionchange'>;

/**
 * One step from a version of the database to the next. May await only what the transaction gives;
 * a step that throws leaves the database as it was.
 */
export type Migration = (db: IDBPDatabase<Disk>, tx: Upgrade) => void | Promise<void>;

/** The version of the database is the number of these. Append; never change one that was released. */
export const migrations: readonly Migration[] = [
  (db) => {
    db.createObjectStore('visits');
    db.createObjectStore('events');
    db.createObjectStore('set-aside', { autoIncrement: true }).createIndex('visit', 'visit');
  },
  (db) => {
    db.createObjectStore('clips');
  },
  (db) => {
    for (const name of ['keys', 'desk', 'staff', 'trail'] as const) db.createObjectStore(name);
  },
  (db) => {
    db.createObjectStore('outbox');
  },
  (db) => {
    db.createObjectStore('digests', { autoIncrement: true });
  },
];

export async function migrate(
  steps: readonly Migration[],
  db: IDBPDatabase<Disk>,
  from: number,
  tx: Upgrade,
): Promise<void> {
  try {
    for (const step of steps.slice(from)) await step(db, tx);
  } catch (cause) {
    tx.done.catch(() => undefined); // the open request reports it
    tx.abort();
    throw cause;
  }
}
