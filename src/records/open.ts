import { StoreError, type StoreErrorCode, toStoreError } from './errors';
import { MemoryStore } from './memory';
import type { Access } from './seal/access';
import { type DiskOptions, openDiskStore } from './store';
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
import type { SampleShelf } from './ward/sample';
import type { DigestShelf } from './ward/shelf';

/** After these the visit goes on in memory; the others are for the caller to settle. */
const goesOn: readonly StoreErrorCode[] = ['full', 'refused', 'unsupported', 'lost', 'failed'];

export interface OpenOptions extends DiskOptions {
  /** Told once when saving stops working, with a sentence for staff. */
  onTrouble: (trouble: StoreError) => void;
}

/**
 * The store of the app: on disk while that works, in memory from the moment it does not.
 * Never rejects. A second window and data of a newer version are told too: the first reads, the second
 * holds new visits in memory and touches nothing.
 */
export async function openStore(options: OpenOptions): Promise<VisitStore> {
  try {
    const disk = await openDiskStore(options);
    if (disk.mode === 'read-only') options.onTrouble(new StoreError('read-only'));
    return disk.mode === 'read-only' ? disk : new SteadyStore(disk, options);
  } catch (cause) {
    options.onTrouble(toStoreError(cause, true));
    return new MemoryStore(options.now);
  }
}

class SteadyStore implements VisitStore {
  #memory: MemoryStore | null = null;
  #turn: Promise<unknown> = Promise.resolve();
  /** Visits that are gone on with here. */
  readonly #takenUp = new Set<string>();
  /** What is known to be in their logs, for the day the disk can be neither written nor read. */
  readonly #known = new Map<string, VisitEvent[]>();

  constructor(
    private readonly disk: VisitStore,
    private readonly options: OpenOptions,
  ) {}

  get mode() {
    return this.#memory ? 'memory' : this.disk.mode;
  }

  append(visit: string, facts: VisitFact[]): Promise<VisitEvent[]> {
    // One after the other, so that facts keep their order when the disk fails in between.
    return this.#inTurn(() => this.#append(visit, facts));
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const mine = this.#turn.then(work);
    this.#turn = mine.catch(() => undefined);
    return mine;
  }

  async #append(visit: string, facts: VisitFact[]): Promise<VisitEvent[]> {
    if (this.#memory) return this.#inMemory(this.#memory, visit, facts);
    try {
      const added = await this.disk.append(visit, facts);
      const known = this.#known.get(visit);
      if (known || added[0]?.seq === 0) this.#known.set(visit, [...(known ?? []), ...added]);
      return added;
    } catch (cause) {
      const trouble = toStoreError(cause);
      if (!goesOn.includes(trouble.code)) throw trouble;
      this.#memory = new MemoryStore(this.options.now);
      this.options.onTrouble(trouble);
      return this.#inMemory(this.#memory, visit, facts);
    }
  }

  async #inMemory(memory: MemoryStore, visit: string, facts: VisitFact[]): Promise<VisitEvent[]> {
    if (!memory.has(visit)) {
      memory.adopt(this.#known.get(visit) ?? (await this.disk.events(visit).catch(() => [])));
    }
    return memory.append(visit, facts);
  }

  async events(visit: string): Promise<VisitEvent[]> {
    if (this.#memory?.has(visit)) return this.#memory.events(visit);
    const events = await this.disk.events(visit);
    // Of what staff only read, and of a visit that has ended, nothing is kept in memory.
    if (this.#takenUp.has(visit) && events.length > 0 && !events.some(({ fact }) => fact.type === 'finished'))
      this.#known.set(visit, events);
    return events;
  }

  /** What is held in memory, and what the disk has of other visits. */
  async #ofBoth<T extends { visit: string }>(ask: (store: VisitStore) => Promise<T[]>): Promise<T[]> {
    const held = this.#memory ? await ask(this.#memory) : [];
    const stored = await ask(this.disk).catch((cause: unknown) => {
      if (this.#memory) return []; // told already
      throw cause;
    });
    return [...held, ...stored.filter(({ visit }) => !this.#memory?.has(visit))];
  }

  async list(): Promise<VisitHeader[]> {
    return this.#ofBoth((store) => store.list());
  }

  async openVisits(): Promise<VisitHeader[]> {
    return (await this.list()).filter((header) => header.finished === null);
  }

  setAside(): Promise<SetAside[]> {
    return this.disk.setAside();
  }

  async erase(visit: string): Promise<void> {
    this.#known.delete(visit);
    await this.#memory?.erase(visit);
    await this.disk.erase(visit);
  }

  async outbox(): Promise<OutboxRow[]> {
    return this.#ofBoth((store) => store.outbox());
  }

  saveOutbox(row: OutboxRow): Promise<void> {
    return (this.#memory?.has(row.visit) ? this.#memory : this.disk).saveOutbox(row);
  }

  // A recording is no visit: when the disk does not take it, staff are told at once and can do it again.
  clips(): Promise<ClipInfo[]> {
    return this.disk.clips();
  }

  clip(key: string): Promise<Clip | null> {
    return this.disk.clip(key);
  }

  saveClip(clip: Clip, instead?: string): Promise<void> {
    return this.disk.saveClip(clip, instead);
  }

  eraseClip(key: string): Promise<void> {
    return this.disk.eraseClip(key);
  }

  digests(): Promise<DigestShelf> {
    return this.disk.digests();
  }

  sample(): Promise<SampleShelf> {
    return (this.#memory ?? this.disk).sample();
  }

  get sealed(): boolean {
    return this.disk.sealed;
  }

  access(): Promise<Access | null> {
    return this.disk.access();
  }

  takeUp(visit: string): Promise<void> {
    return this.#inTurn(async () => {
      if (!this.#memory?.has(visit)) await this.disk.takeUp(visit);
      this.#takenUp.add(visit);
    });
  }

  putDown(): void {
    // Not before what is on its way is written.
    void this.#inTurn(async () => {
      this.#takenUp.clear();
      this.#known.clear();
      this.disk.putDown();
    });
  }

  persist(): Promise<Persistence> {
    return (this.#memory ?? this.disk).persist();
  }

  close(): void {
    this.disk.close();
  }
}
