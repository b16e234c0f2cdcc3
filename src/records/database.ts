import { type IDBPDatabase, type IDBPTransaction, type StoreNames, wrap } from 'idb';
import { StoreError, toStoreError } from './errors';
import { type Disk, type Migration, migrate, type Upgrade } from './migrations';
import { type Change, type Mark, mark, unmark, watched } from './second/changes';
import type { SecondCopy } from './second/copy';

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
  /** Follows what is written here. */
  second: SecondCopy | null = null;
  /** What is deleted leaves a mark, so that it does not come back from a second copy that could not follow. */
  marks = false;

  private constructor(
    readonly db: IDBPDatabase<Disk>,
    /** false: another window does. */
    readonly writes: boolean,
    /** The browser found the one that was there damaged and has thrown it away: this one is empty. */
    readonly thrownAway: boolean,
  ) {}

  /** Brings the database up to the newest of these steps. Rejects with what IndexedDB, or a step, gave as the reason. */
  static async open(
    name: string,
    steps: readonly Migration[],
    writes: boolean,
    factory = indexedDB,
  ): Promise<Database> {
    let database: Database | null = null;
    let broken: unknown = null;
    let thrownAway = false;
    const db = await new Promise<IDBPDatabase<Disk>>((resolve, reject) => {
      let gaveUp = false;
      const giveUp = (code: 'failed' | 'blocked', why?: string) => {
        clearTimeout(timer);
        gaveUp = true;
        reject(new StoreError(code, why));
      };
      // A browser whose storage is in disorder may never answer.
      const timer = setTimeout(() => giveUp('failed', 'the browser does not answer'), patience);
      const request = factory.open(name, steps.length);
      request.onupgradeneeded = (event) => {
        clearTimeout(timer);
        // Chromium's own: a write torn by a power cut costs the whole database at the second start after it.
        thrownAway = (event as DataLossEvent).dataLoss === 'total';
        const upgraded = wrap(request.result) as unknown as IDBPDatabase<Disk>;
        // There is one while it is upgraded.
        const tx = wrap(request.transaction as IDBTransaction) as unknown as Upgrade;
        migrate(steps, upgraded, event.oldVersion, tx).catch((cause: unknown) => {
          broken = cause;
        });
      };
      request.onblocked = () => giveUp('blocked');
      (wrap(request) as Promise<IDBPDatabase<Disk>>)
        .finally(() => clearTimeout(timer))
        .then((opened) => (gaveUp ? opened.close() : resolve(opened)), reject);
    }).catch((cause: unknown) => {
      throw broken ?? cause;
    });
    db.addEventListener('close', () => {
      if (database) database.#lost = true;
    });
    // A newer version waits. A running visit is not cut off for it; a window that only reads lets go.
    db.addEventListener('versionchange', () => {
      if (!writes) database?.close();
    });
    database = new Database(db, writes, thrownAway);
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
      const { second } = this;
      const changes: Change[] = [];
      // At once: what is written after this must follow after it.
      const followed = tx.done.then(() => second?.follow(changes));
      followed.catch(() => undefined); // reported below, once
      const result = await work(second || this.marks ? watched(tx, changes) : tx);
      const marks = this.marks && stores.includes('desk') ? await mark(tx, changes) : [];
      if ((await followed) && marks.length > 0) await this.#unmark(marks);
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

  /** It is no harm where a mark stays: what it stands for is gone. */
  async #unmark(marks: readonly Mark[]): Promise<void> {
    try {
      const tx = this.db.transaction('desk', 'readwrite', { durability: 'strict' }) as unknown as Writing;
      await Promise.all([unmark(tx, marks), tx.done]);
    } catch {
      // it goes with the next start
    }
  }

  /** As `write`, for work that deletes for good: it leaves its marks in the same step. */
  async erase(stores: StoreName[], work: (tx: Writing) => Promise<unknown>): Promise<void> {
    await this.write(this.has('desk') ? [...new Set<StoreName>([...stores, 'desk'])] : stores, work);
  }

  close(): void {
    this.second?.close();
    this.db.close();
  }
}
