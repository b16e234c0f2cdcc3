import { type IDBPDatabase, type IDBPTransaction, openDB } from 'idb';
import { StoreError, toStoreError } from './errors';
import { type BadRow, everyEventOf, headerOf, headersOf, headerWithoutSign, rowsOf } from './headers';
import { type Disk, type Migration, migrate, migrations } from './migrations';
import {
  aside,
  type EventKey,
  freshRow,
  headerAfter,
  isVisitId,
  newestFirst,
  outboxSchema,
  readClip,
  readOutbox,
  rowAfter,
  rowToKeep,
  setAsideSchema,
  toClipRow,
  toEvents,
  touchesOutbox,
  whyNot,
} from './rows';
import type { Access } from './seal/access';
import type { Slot } from './seal/slot';
import type { SealedVisits, Shelf } from './seal/visits';
import type {
  Clip,
  ClipInfo,
  OutboxRow,
  Persistence,
  SetAside,
  VisitEvent,
  VisitFact,
  VisitHeader,
  VisitStore,
} from './types';
import { dropDigestsOf, dropOpenDigests } from './ward/drop';
import type { SampleShelf } from './ward/sample';
import type { DigestShelf } from './ward/shelf';

/*
 * Visits on disk: IndexedDB, each append flushed (`durability: 'strict'`) before it counts as written.
 * One window writes; a second one reads.
 */

export interface DiskOptions {
  name?: string;
  steps?: readonly Migration[];
  locks?: Pick<LockManager, 'request'> | undefined;
  storage?: Pick<StorageManager, 'persist' | 'persisted'> | undefined;
  now?: () => Date;
  /** Milliseconds to wait for the writer's lock: a page that reloads meets its own old self. */
  lockWait?: number;
  /** Where the key of the running visit lies for the case of a crash; this browser's own where not given. */
  slot?: Slot;
  /** Told when the key of a visit that has ended could not be taken off the device. */
  onKeyLeft?: (sentence: string) => void;
  /** Told of each unreadable row as it is found. */
  onSetAside?: (found: SetAside) => void;
}

export type StoreName = 'visits' | 'events' | 'outbox' | 'clips' | 'set-aside' | 'keys' | 'digests';
export type Writing = IDBPTransaction<Disk, StoreName[], 'readwrite'>;
export type Reading = IDBPTransaction<Disk, StoreName[], 'readonly' | 'readwrite'>;

const visitStores: StoreName[] = ['visits', 'events', 'set-aside'];
const filedStores: StoreName[] = [...visitStores, 'outbox'];
const digestStores: StoreName[] = ['digests', 'visits'];
const sealedStores: StoreName[] = [...filedStores, 'keys'];
// Apart from the visits, so that a recording never waits for one nor holds one up.
const clipStores: StoreName[] = ['clips', 'set-aside'];
/** Opens the visits of this device. Rejects with a StoreError; nothing is changed then. */
export async function openDiskStore(options: DiskOptions = {}): Promise<VisitStore> {
  const name = options.name ?? 'ownwords';
  const locks = 'locks' in options ? options.locks : globalThis.navigator?.locks;
  if (!globalThis.indexedDB) throw new StoreError('refused', 'no IndexedDB');
  if (!locks) throw new StoreError('unsupported', 'no Web Locks');
  const release = await takeWriterLock(locks, `${name}-writer`, options.lockWait ?? 500);
  try {
    return await DiskStore.open(name, release, options);
  } catch (cause) {
    release?.();
    throw toStoreError(cause, true);
  }
}

/** Resolves to a function that gives the lock back, or to null when another window has it. */
function takeWriterLock(
  locks: Pick<LockManager, 'request'>,
  name: string,
  wait: number,
): Promise<(() => void) | null> {
  return new Promise((resolve, reject) => {
    locks
      .request(
        name,
        { mode: 'exclusive', signal: AbortSignal.timeout(wait) },
        () => new Promise<void>((release) => resolve(release)),
      )
      .catch((cause: unknown) => {
        const timedOut = cause instanceof DOMException && /TimeoutError|AbortError/.test(cause.name);
        if (timedOut) resolve(null);
        else reject(toStoreError(cause, true));
      });
  });
}

class DiskStore implements VisitStore {
  #lost = false;
  #logsSeen = false;
  #sealed: SealedVisits | null = null;
  #access: Promise<Access> | null = null;
  #turn: Promise<unknown> = Promise.resolve();

  private constructor(
    private readonly db: IDBPDatabase<Disk>,
    private readonly release: (() => void) | null,
    private readonly options: DiskOptions,
  ) {}

  static async open(name: string, release: (() => void) | null, options: DiskOptions): Promise<DiskStore> {
    const steps = options.steps ?? migrations;
    let store: DiskStore | null = null;
    let broken: unknown = null;
    const db = await new Promise<IDBPDatabase<Disk>>((resolve, reject) => {
      let gaveUp = false;
      openDB<Disk>(name, steps.length, {
        upgrade: (database, from, _to, tx) => {
          migrate(steps, database, from, tx).catch((cause: unknown) => {
            broken = cause;
          });
        },
        blocked: () => {
          gaveUp = true;
          reject(new StoreError('blocked'));
        },
        // A newer version waits. A running visit is not cut off for it; a window that only reads lets go.
        blocking: () => {
          if (store?.mode === 'read-only') store.close();
        },
        terminated: () => {
          if (store) store.#lost = true;
        },
      }).then((opened) => (gaveUp ? opened.close() : resolve(opened)), reject);
    }).catch((cause: unknown) => {
      throw broken ?? cause;
    });
    store = new DiskStore(db, release, options);
    await store.#takeSeal().catch((cause: unknown) => {
      db.close();
      throw cause;
    });
    return store;
  }

  get mode(): 'disk' | 'read-only' {
    return this.release ? 'disk' : 'read-only';
  }

  get sealed(): boolean {
    return this.#sealed !== null;
  }

  async append(visit: string, facts: VisitFact[]): Promise<VisitEvent[]> {
    if (facts.length === 0) return [];
    // One after the other: sealing takes time, in which no transaction stays open.
    return this.#inTurn(() =>
      this.#sealed ? this.#sealed.append(visit, facts) : this.#appendPlain(visit, facts),
    );
  }

  async #appendPlain(visit: string, facts: VisitFact[]): Promise<VisitEvent[]> {
    const files = touchesOutbox(facts);
    const work = async (tx: Writing) => {
      const { header } = await headerOf(tx, visit, this.#now);
      const added = toEvents(visit, header?.next ?? 0, this.#now(), facts);
      // In one step with the log: no visit that is to be filed may be forgotten by a crash in between.
      if (files) {
        const outbox = tx.objectStore('outbox');
        const row = rowAfter(readOutbox(await outbox.get(visit)), visit, facts);
        if (row) await outbox.put(row, visit);
      }
      // async: a put that throws at once then rejects like the others, and none goes unheard.
      const puts = added.map(async (event) => {
        await tx.objectStore('events').add(event, [visit, event.seq]);
      });
      await Promise.all([...puts, tx.objectStore('visits').put(headerAfter(header, added), visit)]);
      return added;
    };
    return this.#write(work, files ? filedStores : visitStores);
  }

  async events(visit: string): Promise<VisitEvent[]> {
    const { good, bad } = this.#sealed ? await this.#sealed.rows(visit) : await this.#visitRows(visit);
    await this.#putAside(bad);
    const events = good.map((event) => {
      if ('sealed' in event) throw new StoreError('broken-seal', 'the key of the ward');
      return event;
    });
    // For the list alone: a disk that does not take it keeps nobody from reading.
    if (this.mode === 'disk') await this.#noteSigned(visit, events).catch(() => undefined);
    return events;
  }

  /** Where the list of visits cannot tell how far this one is signed, whoever has read its log can. */
  async #noteSigned(visit: string, events: VisitEvent[]): Promise<void> {
    if (!events.some(({ fact }) => fact.type === 'finished')) return;
    const unsure = (tx: Reading) => headerWithoutSign(tx, visit, events.length);
    if (!(await this.#read(unsure))) return;
    await this.#write(async (tx) => {
      const header = await unsure(tx);
      const signed = headerAfter(null, events)?.signed;
      if (header && signed) await tx.objectStore('visits').put({ ...header, signed }, visit);
    });
  }

  #visitRows = (visit: string) => this.#read((tx) => rowsOf(tx, visit, this.#now));

  async takeUp(visit: string): Promise<void> {
    await this.#sealed?.takeUp(visit);
  }

  putDown(): void {
    this.#sealed?.putDown();
  }

  async access(): Promise<Access | null> {
    if (this.mode === 'read-only' || !this.db.objectStoreNames.contains('desk')) return null;
    this.#access ??= import('./seal/access').then(({ Access }) =>
      Access.load(this.db, {
        sealer: () => this.#sealed?.sealer ?? null,
        begin: (first) => this.#takeSeal(first),
        now: () => this.#now(),
        list: () => this.list(),
        alone: (work) => this.#inTurn(work),
      }),
    );
    return this.#access;
  }

  /** Once the ward has a key, all is sealed with it, what lies here from before as well. */
  async #takeSeal(first: () => Promise<void> = async () => {}): Promise<void> {
    if (!this.db.objectStoreNames.contains('desk')) return;
    if ((await this.db.getKey('desk', 'ward')) === undefined) return;
    // A piece of its own: a kiosk without such a key does without it.
    const { SealedVisits } = await import('./seal');
    await this.#inTurn(async () => {
      await first();
      const ward = await this.db.get('desk', 'ward');
      const { slot, onKeyLeft } = this.options;
      const sealed = await SealedVisits.begin(ward, this.#shelf, { slot, onKeyLeft });
      if (this.mode === 'disk') {
        await sealed.sealOld();
        if (this.db.objectStoreNames.contains('digests')) await this.#write(dropOpenDigests, digestStores);
      }
      this.#sealed = sealed;
    });
  }

  /** What the sealing needs of the disk. */
  get #shelf(): Shelf {
    return {
      now: () => this.#now(),
      list: () => this.list(),
      read: (work) => this.#read(work, sealedStores),
      write: (work) => this.#write(work, sealedStores),
      rows: (tx, visit) => rowsOf(tx, visit, this.#now),
      header: async (tx, visit) => (await headerOf(tx, visit, this.#now)).header,
      putAside: (bad) => this.#putAside(bad),
    };
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const mine = this.#turn.then(work);
    this.#turn = mine.catch(() => undefined);
    return mine;
  }

  async list(): Promise<VisitHeader[]> {
    // What this window wrote since it looked for logs without a header, it wrote with one.
    const withLog = !this.#logsSeen || this.mode === 'read-only';
    const { headers, amiss, bad } = await this.#read((tx) => headersOf(tx, this.#now, withLog));
    await this.#mendHeaders(amiss);
    await this.#putAside(bad);
    this.#logsSeen = true;
    return newestFirst(headers);
  }

  async openVisits(): Promise<VisitHeader[]> {
    return (await this.list()).filter((header) => header.finished === null);
  }

  async setAside(): Promise<SetAside[]> {
    const rows = await this.#read((tx) => tx.objectStore('set-aside').getAll());
    return rows.map((row) => {
      const read = setAsideSchema.safeParse(row);
      if (read.success) return { ...read.data, found: read.data.found };
      return {
        store: 'set-aside',
        visit: '',
        where: '',
        why: whyNot(read.error),
        found: row,
        at: this.#now(),
      };
    });
  }

  async erase(visit: string): Promise<void> {
    await this.#write(
      async (tx) => {
        const aside = tx.objectStore('set-aside');
        const gone = await aside.index('visit').getAllKeys(visit);
        await Promise.all([
          tx.objectStore('visits').delete(visit),
          tx.objectStore('outbox').delete(visit),
          tx.objectStore('events').delete(everyEventOf(visit)),
          ...(this.#sealed ? [tx.objectStore('keys').delete(visit)] : []),
          dropDigestsOf(tx, (one) => one === visit),
          ...gone.map((key) => aside.delete(key)),
        ]);
      },
      [...(this.#sealed ? sealedStores : filedStores), ...digestStores],
    );
    await this.#sealed?.erased(visit);
  }

  async digests(): Promise<DigestShelf> {
    const { diskShelf } = await import('./ward/shelf');
    return diskShelf({
      sealer: () => this.#sealed?.sealer ?? null,
      read: (work) => this.#read(work, digestStores),
      write: (work) => this.#write(work, digestStores),
    });
  }

  async sample(): Promise<SampleShelf> {
    const { diskSample } = await import('./ward/sample');
    return diskSample({
      sealer: () => this.#sealed?.sealer ?? null,
      write: (work) => this.#inTurn(() => this.#write(work, [...sealedStores, ...digestStores])),
    });
  }

  async outbox(): Promise<OutboxRow[]> {
    const { rows, bad } = await this.#read(async (tx) => {
      const rows: OutboxRow[] = [];
      const bad: BadRow[] = [];
      let cursor = await tx.objectStore('outbox').openCursor();
      while (cursor) {
        const read = outboxSchema.safeParse(cursor.value);
        if (read.success && read.data.visit === cursor.key) rows.push(read.data);
        else {
          const why = read.success ? `filed under ${cursor.key}` : whyNot(read.error);
          bad.push({ key: cursor.key, found: aside('outbox', cursor.key, cursor.value, why, this.#now()) });
          if (isVisitId(cursor.key)) rows.push({ ...freshRow(cursor.key), doubtful: true });
        }
        cursor = await cursor.continue();
      }
      return { rows, bad };
    }, filedStores);
    await this.#putAside(bad);
    return rows;
  }

  async saveOutbox(row: OutboxRow): Promise<void> {
    await this.#write(async (tx) => {
      const key = await tx.objectStore('visits').getKey(row.visit);
      const outbox = tx.objectStore('outbox');
      const there = readOutbox(await outbox.get(row.visit));
      if (key !== undefined) await outbox.put(outboxSchema.parse(rowToKeep(there, row)), row.visit);
    }, filedStores);
  }

  async clips(): Promise<ClipInfo[]> {
    const { good, bad } = await this.#read(async (tx) => {
      const good: ClipInfo[] = [];
      const bad: BadRow[] = [];
      // One at a time: all of the sound together would be much to hold.
      let cursor = await tx.objectStore('clips').openCursor();
      while (cursor) {
        const read = readClip(cursor.key, cursor.value);
        if ('clip' in read) {
          const { wav: _, ...info } = read.clip;
          good.push(info);
        } else {
          bad.push({
            key: cursor.key,
            found: aside('clips', cursor.key, cursor.value, read.why, this.#now()),
          });
        }
        cursor = await cursor.continue();
      }
      return { good, bad };
    }, clipStores);
    await this.#putAside(bad);
    return good;
  }

  async clip(key: string): Promise<Clip | null> {
    const row = await this.#read((tx) => tx.objectStore('clips').get(key), clipStores);
    if (row === undefined) return null;
    const read = readClip(key, row);
    if ('clip' in read) return read.clip;
    await this.#putAside([{ key, found: aside('clips', key, row, read.why, this.#now()) }]);
    return null;
  }

  async saveClip(clip: Clip, instead?: string): Promise<void> {
    await this.#write(async (tx) => {
      const clips = tx.objectStore('clips');
      if (instead !== undefined) await clips.delete(instead);
      await clips.put(toClipRow(clip), clip.key);
    }, clipStores);
  }

  async eraseClip(key: string): Promise<void> {
    await this.#write((tx) => tx.objectStore('clips').delete(key), clipStores);
  }

  async persist(): Promise<Persistence> {
    const storage = 'storage' in this.options ? this.options.storage : globalThis.navigator?.storage;
    const kept = await (async () =>
      (await storage?.persisted()) || (await storage?.persist()) || false)().catch(() => false);
    return {
      kept,
      sentence: kept
        ? 'The browser keeps the visits until they are erased here.'
        : 'The browser may clear saved visits when the disk runs low. Ask your administrator to allow permanent storage for this site.',
    };
  }

  close(): void {
    this.db.close();
    this.release?.();
  }

  readonly #now = () => (this.options.now?.() ?? new Date()).toISOString();

  async #read<T>(work: (tx: Reading) => Promise<T>, stores = visitStores): Promise<T> {
    try {
      if (this.#lost) throw new StoreError('lost');
      return await work(this.db.transaction(stores, 'readonly') as Reading);
    } catch (cause) {
      throw toStoreError(cause);
    }
  }

  /** All of `work` or none of it, flushed to disk before it resolves. */
  async #write<T>(work: (tx: Writing) => Promise<T>, stores = visitStores): Promise<T> {
    if (this.mode === 'read-only') throw new StoreError('read-only');
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

  async #mendHeaders(visits: string[]): Promise<void> {
    if (visits.length === 0) return;
    const found: SetAside[] = [];
    const mend = (writes: boolean) => async (tx: Reading) => {
      found.length = 0;
      for (const visit of visits) {
        const { header, why } = await headerOf(tx, visit, this.#now);
        if (why === null) continue;
        const each = aside('visits', visit, await tx.objectStore('visits').get(visit), why, this.#now());
        found.push(each);
        if (!writes) continue;
        const write = tx as Writing;
        await write.objectStore('set-aside').add(each);
        if (header) await write.objectStore('visits').put(header, visit);
        else await write.objectStore('visits').delete(visit);
      }
    };
    await this.#write(mend(true)).catch(() => this.#read(mend(false)));
    for (const each of found) this.options.onSetAside?.(each);
  }

  /**
   * Moves rows to the set-aside store and tells of them. Where nothing can be written they stay where they are: a disk
   * that is full keeps nobody from reading the rest.
   */
  async #putAside(bad: readonly BadRow[]): Promise<void> {
    if (bad.length === 0) return;
    const move = async (tx: Writing) => {
      for (const { key, found } of bad) {
        const store = found.store as Exclude<typeof found.store, 'set-aside'>;
        await tx.objectStore('set-aside').add(found);
        if (store === 'outbox' && isVisitId(key)) {
          // It is not known whether it was filed.
          await tx.objectStore(store).put({ ...freshRow(key), doubtful: true }, key);
        } else await tx.objectStore(store).delete(key as EventKey & string);
      }
    };
    const stores = [...new Set<StoreName>(['set-aside', ...bad.map(({ found }) => found.store)])];
    await this.#write(move, stores).catch(() => undefined);
    for (const { found } of bad) this.options.onSetAside?.(found);
  }
}
