import { type IDBPDatabase, type IDBPTransaction, openDB, type StoreNames } from 'idb';
import { StoreError, toStoreError } from './errors';
import { type Disk, type Migration, migrate } from './migrations';

export type StoreName = StoreNames<Disk>;
export type Writing = IDBPTransaction<Disk, StoreName[], 'readwrite'>;
export type Reading = IDBPTransaction<Disk, StoreName[], 'readonly' | 'readwrite'>;

/** Told by Chromium only (github.com/w3c/IndexedDB, issue 30). */
type DataLossEvent = IDBVersionChangeEvent & { dataLoss?: 'none' | 'total' };

/** For the browser to open it, ms. */
const patience = 10_000;

/** The connection to the database. Every failure is a StoreError. */
export class Database {
  #lost = false;

  private constructor(
    readonly db: IDBPDatabase<Disk>,
    /** false: another window does. */
    readonly writes: boolean,
  ) {}

  /**
   * Brings the database up to the newest of these steps. Rejects with what IndexedDB, or a step, gave as the reason.
   * @param onThrownAway the browser found the one that was there damaged and has thrown it away
   */
  static async open(
    name: string,
    steps: readonly Migration[],
    writes: boolean,
    onThrownAway: () => void = () => {},
  ): Promise<Database> {
    let database: Database | null = null;
    let broken: unknown = null;
    const db = await new Promise<IDBPDatabase<Disk>>((resolve, reject) => {
      let gaveUp = false;
      // A browser whose storage is in disorder may never answer.
      const timer = setTimeout(() => {
        gaveUp = true;
        reject(new StoreError('failed', 'the browser does not answer'));
      }, patience);
      openDB<Disk>(name, steps.length, {
        upgrade: (database, from, _to, tx, event) => {
          clearTimeout(timer);
          // Chromium's own: a write torn by a power cut costs the whole database at the second start after it.
          if ((event as DataLossEvent).dataLoss === 'total') onThrownAway();
          migrate(steps, database, from, tx).catch((cause: unknown) => {
            broken = cause;
          });
        },
        blocked: () => {
          clearTimeout(timer);
          gaveUp = true;
          reject(new StoreError('blocked'));
        },
        // A newer version waits. A running visit is not cut off for it; a window that only reads lets go.
        blocking: () => {
          if (!writes) database?.close();
        },
        terminated: () => {
          if (database) database.#lost = true;
        },
      })
        .finally(() => clearTimeout(timer))
        .then((opened) => (gaveUp ? opened.close() : resolve(opened)), reject);
    }).catch((cause: unknown) => {
      throw broken ?? cause;
    });
    database = new Database(db, writes);
    return database;
  }

  has(store: StoreName): boolean {
    return this.db.objectStoreNames.contains(store);
  }

  async read<T>(stores: StoreName[], work: (tx: Reading) => Promise<T>): Promise<T> {
    try {
      if (this.#lost) throw new StoreError('lost');
      return await work(this.db.transaction(stores, 'readonly') as Reading);
    } catch (cause) {
      throw toStoreError(cause);
    }
  }

  /** All of `work` or none of it, flushed to disk before it resolves. */
  async write<T>(stores: StoreName[], work: (tx: Writing) => Promise<T>): Promise<T> {
    if (!this.writes) throw new StoreError('read-only');
    let tx: Writing | null = null;
    try {
      if (this.#lost) throw new StoreError('lost');
      tx = this.db.transaction(stores, 'readwrite', { durability: 'strict' });
      tx.done.catch(() => undefined); // reported below, once
      const result = await work(tx);
      await tx.done;
      return result;
    } catch (cause) {
      // A full disk shows on the transaction, while its requests only say that they were aborted.
      const root = tx?.error ?? cause;
      try {
        tx?.abort();
      } catch {
        // it is over already
      }
      throw toStoreError(root);
    }
  }

  close(): void {
    this.db.close();
  }
}
