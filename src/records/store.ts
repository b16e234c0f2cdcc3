import { writeAdded } from './added';
import { type Asides, diskAsides } from './asides';
import { diskClips } from './clips';
import type { Database, Reading, StoreName, Writing } from './database';
import { StoreError, toStoreError } from './errors';
import { everyEventOf, headerOf, headersOf, headerWithoutSign, rowsOf } from './headers';
import { type Migration, migrations } from './migrations';
import { diskOutbox } from './outbox';
import { aside, headerAfter, newestFirst, toEvents, touchesOutbox } from './rows';
import type { Access } from './seal/access';
import type { Slot } from './seal/slot';
import type { SealedVisits, Shelf } from './seal/visits';
import { secondBucket } from './second/bucket';
import { openTwice } from './second/open';
import type {
  Clip,
  ClipInfo,
  ClipStore,
  OutboxRow,
  OutboxStore,
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
import { takeWriterLock } from './writerLock';

/*
 * Visits on disk: IndexedDB, each append flushed (`durability: 'strict'`) before it counts as written, twice: see
 * second/. One window writes; another one reads.
 */

export interface DiskOptions {
  name?: string;
  steps?: readonly Migration[];
  locks?: Pick<LockManager, 'request'> | undefined;
  storage?: Pick<StorageManager, 'persist' | 'persisted'> | undefined;
  now?: () => Date;
  /** Milliseconds to wait for the writer's lock. */
  lockWait?: number;
  /** Told once, of a store that only reads: no other window writes any more, so a new one could. */
  onFree?: () => void;
  /** Where the key of the running visit lies for the case of a crash; this browser's own where not given. */
  slot?: Slot;
  /** Told when the key of a visit that has ended could not be taken off the device, or a visit could not be sealed. */
  onKeyLeft?: (sentence: string) => void;
  /** Told of each unreadable row as it is found. */
  onSetAside?: (found: SetAside) => void;
  /** Gives the database that the second copy lies in, null where there is none; a bucket of this browser's where not given. */
  secondCopy?: () => Promise<IDBFactory | null>;
  /** Told when what was stored here was lost, with a sentence for staff. */
  onLoss?: (sentence: string) => void;
  /** Told of each lot of visits that is put back then, where there are many: so many of so many. */
  onPuttingBack?: (done: number, visits: number) => void;
  /** Told when there is no second copy any more, or none yet, though this browser could have one. */
  onNoSecondCopy?: (sentence: string) => void;
}

const visitStores: StoreName[] = ['visits', 'events', 'set-aside'];
const filedStores: StoreName[] = [...visitStores, 'outbox'];
const digestStores: StoreName[] = ['digests', 'visits'];
const sealedStores: StoreName[] = [...filedStores, 'keys'];

/** Opens the visits of this device. Rejects with a StoreError; nothing is changed then. */
export async function openDiskStore(options: DiskOptions = {}): Promise<VisitStore> {
  const name = options.name ?? 'ownwords';
  const locks = 'locks' in options ? options.locks : globalThis.navigator?.locks;
  if (!globalThis.indexedDB) throw new StoreError('refused', 'no IndexedDB');
  if (!locks) throw new StoreError('unsupported', 'no Web Locks');
  const lock = await takeWriterLock(locks, `${name}-writer`, options.lockWait ?? 5_000, options.onFree);
  try {
    const database = await openTwice(name, options.steps ?? migrations, lock.held, {
      factory: options.secondCopy ?? secondBucket,
      onLoss: (sentence) => options.onLoss?.(sentence),
      onPuttingBack: (done, visits) => options.onPuttingBack?.(done, visits),
      onNone: (sentence) => options.onNoSecondCopy?.(sentence),
    });
    return await DiskStore.open(database, lock.release, options);
  } catch (cause) {
    lock.release();
    throw toStoreError(cause, true);
  }
}

class DiskStore implements VisitStore {
  #logsSeen = false;
  #sealed: SealedVisits | null = null;
  #access: Promise<Access> | null = null;
  #turn: Promise<unknown> = Promise.resolve();
  readonly #asides: Asides;
  readonly #outbox: OutboxStore;
  readonly #clips: ClipStore;

  private constructor(
    private readonly database: Database,
    private readonly release: () => void,
    private readonly options: DiskOptions,
  ) {
    const now = this.#now;
    this.#asides = diskAsides({ database, now, tell: (found) => options.onSetAside?.(found) });
    this.#outbox = diskOutbox({ database, asides: this.#asides, now });
    this.#clips = diskClips({ database, asides: this.#asides, now });
  }

  static async open(database: Database, release: () => void, options: DiskOptions): Promise<DiskStore> {
    const store = new DiskStore(database, release, options);
    await store.#takeSeal().catch((cause: unknown) => {
      database.close();
      throw cause;
    });
    return store;
  }

  get mode(): 'disk' | 'read-only' {
    return this.database.writes ? 'disk' : 'read-only';
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
    const work = async (tx: Writing) => {
      const { header } = await headerOf(tx, visit, this.#now);
      const added = toEvents(visit, header?.next ?? 0, this.#now(), facts);
      await writeAdded(tx, visit, facts, header, added);
      return added;
    };
    return this.#write(work, touchesOutbox(facts) ? filedStores : visitStores);
  }

  async events(visit: string): Promise<VisitEvent[]> {
    const { good, bad } = this.#sealed ? await this.#sealed.rows(visit) : await this.#visitRows(visit);
    await this.#asides.put(bad);
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

  takeUp(visit: string): Promise<void> {
    // After what is on its way of another one, which needs its own key.
    return this.#inTurn(async () => this.#sealed?.takeUp(visit));
  }

  putDown(): void {
    // Not before what is on its way is written: it needs the key.
    void this.#inTurn(async () => this.#sealed?.putDown());
  }

  async access(): Promise<Access | null> {
    if (this.mode === 'read-only' || !this.database.has('desk')) return null;
    this.#access ??= import('./seal/access').then(({ Access }) =>
      Access.load(this.database, {
        sealer: () => this.#sealed?.sealer ?? null,
        begin: (first) => this.#takeSeal(first),
        now: () => this.#now(),
        list: () => this.list(),
        alone: (work) => this.#inTurn(work),
      }),
    );
    // What did not arrive, or could not be read, may another time.
    this.#access.catch(() => {
      this.#access = null;
    });
    return this.#access;
  }

  /** Once the ward has a key, all is sealed with it, what lies here from before as well. */
  async #takeSeal(first: () => Promise<void> = async () => {}): Promise<void> {
    if (!this.database.has('desk')) return;
    if ((await this.database.db.getKey('desk', 'ward')) === undefined) return;
    // A piece of its own: a kiosk without such a key does without it.
    const { SealedVisits } = await import('./seal');
    await this.#inTurn(async () => {
      await first();
      const ward = await this.database.db.get('desk', 'ward');
      const { slot, onKeyLeft } = this.options;
      const sealed = await SealedVisits.begin(ward, this.#shelf, { slot, onKeyLeft });
      if (this.mode === 'disk') {
        await sealed.sealOld();
        if (this.database.has('digests')) await this.#write(dropOpenDigests, digestStores);
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
      putAside: (bad) => this.#asides.put(bad),
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
    await this.#asides.put(bad);
    this.#logsSeen = true;
    return newestFirst(headers);
  }

  async openVisits(): Promise<VisitHeader[]> {
    return (await this.list()).filter((header) => header.finished === null);
  }

  setAside(): Promise<SetAside[]> {
    return this.#asides.all();
  }

  erase(visit: string): Promise<void> {
    // In turn: what is being added to the visit would bring a piece of it back.
    return this.#inTurn(() => this.#eraseNow(visit));
  }

  async #eraseNow(visit: string): Promise<void> {
    const stores = [...(this.#sealed ? sealedStores : filedStores), ...digestStores];
    await this.database.erase(stores, async (tx) => {
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
    });
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
    const stores = [...sealedStores, ...digestStores];
    return diskSample({
      sealer: () => this.#sealed?.sealer ?? null,
      write: (work) => this.#inTurn(() => this.#write(work, stores)),
      erase: (work) => this.#inTurn(() => this.database.erase(stores, work)),
    });
  }

  outbox(): Promise<OutboxRow[]> {
    return this.#outbox.outbox();
  }

  saveOutbox(row: OutboxRow): Promise<void> {
    return this.#outbox.saveOutbox(row);
  }

  clips(): Promise<ClipInfo[]> {
    return this.#clips.clips();
  }

  clip(key: string): Promise<Clip | null> {
    return this.#clips.clip(key);
  }

  saveClip(clip: Clip, instead?: string): Promise<void> {
    return this.#clips.saveClip(clip, instead);
  }

  eraseClip(key: string): Promise<void> {
    return this.#clips.eraseClip(key);
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
    this.database.close();
    this.release();
  }

  readonly #now = () => (this.options.now?.() ?? new Date()).toISOString();

  #read<T>(work: (tx: Reading) => Promise<T>, stores = visitStores): Promise<T> {
    return this.database.read(stores, work);
  }

  #write<T>(work: (tx: Writing) => Promise<T>, stores = visitStores): Promise<T> {
    return this.database.write(stores, work);
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
}
