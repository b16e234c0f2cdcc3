import { writeAdded } from '../added';
import type { Reading, Writing } from '../database';
import { StoreError } from '../errors';
import type { BadRow } from '../headers';
import { aside, type EventKey, type SealedRow, setAsideSchema, toEvents } from '../rows';
import type { SetAside, VisitEvent, VisitFact, VisitHeader } from '../types';
import type { Bytes } from './box';
import { sealEvent, sealFound, unsealEvent } from './events';
import { Sealer } from './sealer';
import { openSlot, type Slot } from './slot';

/** The disk, as far as it is needed here. */
export interface Shelf {
  now(): string;
  list(): Promise<VisitHeader[]>;
  read<T>(work: (tx: Reading) => Promise<T>): Promise<T>;
  /** All of it or none. */
  write<T>(work: (tx: Writing) => Promise<T>): Promise<T>;
  rows(tx: Reading, visit: string): Promise<{ good: (VisitEvent | SealedRow)[]; bad: BadRow[] }>;
  header(tx: Reading, visit: string): Promise<VisitHeader | null>;
  putAside(bad: BadRow[]): Promise<void>;
}

interface Options {
  slot?: Slot | undefined;
  onKeyLeft?: ((sentence: string) => void) | undefined;
}

/**
 * Visits that lie sealed. No transaction stays open while something is sealed or opened, so whoever calls sees to it
 * that one thing is done after the other.
 */
export class SealedVisits {
  private constructor(
    readonly sealer: Sealer,
    private readonly shelf: Shelf,
    private readonly options: Options,
  ) {}

  /** @param ward as stored. Throws 'broken-seal' when it is no key. */
  static async begin(ward: unknown, shelf: Shelf, options: Options): Promise<SealedVisits> {
    const sealer = await Sealer.load(ward, options.slot ?? openSlot());
    return new SealedVisits(sealer, shelf, options);
  }

  async append(visit: string, facts: VisitFact[]): Promise<VisitEvent[]> {
    const { shelf, sealer } = this;
    const { before, wrapped } = await shelf.read(async (tx) => ({
      before: await shelf.header(tx, visit),
      wrapped: await tx.objectStore('keys').get(visit),
    }));
    const added = toEvents(visit, before?.next ?? 0, shelf.now(), facts);
    const made = wrapped instanceof Uint8Array ? null : await this.#keyMade(visit, before);
    const key = made?.key ?? (await sealer.keyFor(visit, wrapped));
    // What is added after the end must not bring the key of the visit back onto the device.
    if (!before?.finished) await sealer.run(visit, key);
    const rows = await Promise.all(added.map((event) => sealEvent(key, event)));
    await shelf.write(async (tx) => {
      if (made?.wrapped) await tx.objectStore('keys').put(made.wrapped, visit);
      await writeAdded(tx, visit, facts, await shelf.header(tx, visit), rows);
    });
    if (facts.some(({ type }) => type === 'finished')) await this.#takeKeyOff();
    return added;
  }

  /**
   * A key for a visit that has none. One that lies open still is sealed first; of one that lies sealed the key is lost,
   * and only the one at hand can be stored again.
   * @returns without `wrapped` where that is stored already
   */
  async #keyMade(
    visit: string,
    before: VisitHeader | null,
  ): Promise<{ key: CryptoKey; wrapped: Bytes | null }> {
    if (!before) return this.sealer.newKey(visit);
    const { good } = await this.shelf.read((tx) => this.shelf.rows(tx, visit));
    if (good.length > 0 && !good.some((row) => 'sealed' in row))
      return { key: await this.#sealVisit(visit), wrapped: null };
    return this.sealer.keyAgain(visit);
  }

  /** Throws 'sealed' while nobody has opened, 'broken-seal' when the key of the visit opens nothing of it. */
  async rows(visit: string): Promise<{ good: VisitEvent[]; bad: BadRow[] }> {
    const found = await this.shelf.read(async (tx) => ({
      ...(await this.shelf.rows(tx, visit)),
      wrapped: await tx.objectStore('keys').get(visit),
    }));
    if (!found.good.some((row) => 'sealed' in row)) return found as { good: VisitEvent[]; bad: BadRow[] };
    const { sealer } = this;
    const runs = sealer.running === visit;
    const read = await this.#unsealed(found, await sealer.keyFor(visit, found.wrapped));
    if (read.opens) return read;
    // Not the entries are spoilt but the key: they stay where they are. The one in the slot may be another one.
    if (!runs) throw new StoreError('broken-seal', `visit ${visit}`);
    sealer.forget();
    const key = await sealer.keyFor(visit, found.wrapped);
    const again = await this.#unsealed(found, key);
    if (!again.opens) throw new StoreError('broken-seal', `visit ${visit}`);
    await sealer.run(visit, key);
    return again;
  }

  async #unsealed(found: { good: (VisitEvent | SealedRow)[]; bad: BadRow[] }, key: CryptoKey) {
    const good: VisitEvent[] = [];
    const bad = [...found.bad];
    let opens = false;
    for (const row of found.good) {
      const read = 'sealed' in row ? await unsealEvent(key, row) : { event: row };
      opens ||= 'sealed' in row && 'event' in read;
      if ('event' in read) good.push(read.event);
      else {
        const at: EventKey = [row.visit, row.seq];
        bad.push({ key: at, found: aside('events', at, row, read.why, this.shelf.now()) });
      }
    }
    return { good, bad, opens };
  }

  async takeUp(visit: string): Promise<void> {
    const wrapped = await this.shelf.read((tx) => tx.objectStore('keys').get(visit));
    if (wrapped !== undefined) await this.sealer.run(visit, await this.sealer.keyFor(visit, wrapped));
  }

  /** A visit was erased: what opens it goes as well. */
  async erased(visit: string): Promise<void> {
    if (visit !== this.sealer.running) return;
    await this.#takeKeyOff();
    this.sealer.forget();
  }

  putDown(): void {
    this.sealer.forget();
  }

  /**
   * Seals visits that were stored before there was a key, each wholly or not at all, and takes off the device a key
   * of a visit that has ended, when the page did not live to do so.
   */
  async sealOld(): Promise<void> {
    const headers = await this.shelf.list();
    const [put, done] = await this.shelf.read((tx) =>
      Promise.all([tx.objectStore('set-aside').getAll(), tx.objectStore('keys').getAllKeys()]),
    );
    const others = put.flatMap((row) => setAsideSchema.safeParse(row).data?.visit || []);
    const newest = headers.find(({ finished }) => finished === null)?.visit;
    const open = new Set([...headers.map(({ visit }) => visit), ...others]);
    for (const visit of done) open.delete(visit);
    // A disk that is too full for it keeps nobody from what lies there, nor the others from being sealed.
    const left: unknown[] = [];
    for (const visit of open)
      await this.#sealVisit(visit).then(
        async (key) => {
          if (visit === newest) await this.sealer.run(visit, key);
        },
        (cause: unknown) => {
          // That its key is lost is told when it is opened.
          if (!(cause instanceof StoreError && cause.code === 'broken-seal')) left.push(cause);
        },
      );
    if (left.length > 0) {
      const visits = left.length === 1 ? '1 visit' : `${left.length} visits`;
      this.options.onKeyLeft?.(
        `${visits} from before the first staff secret could not be sealed and lie open, not sealed. It is tried again when this page is loaded. (${(left[0] as Error).message})`,
      );
    }
    if (headers.find(({ visit }) => visit === this.sealer.running)?.finished) {
      await this.#takeKeyOff();
      this.sealer.forget();
    }
  }

  async #sealVisit(visit: string): Promise<CryptoKey> {
    const { shelf } = this;
    const old = await shelf.read((tx) => shelf.rows(tx, visit));
    await shelf.putAside(old.bad);
    const { key, wrapped } = await this.#keyToSeal(visit, old.good);
    const rows = await Promise.all(
      old.good.map(async (row) => ('sealed' in row ? row : await sealEvent(key, row))),
    );
    const asides = await shelf.read(async (tx) => {
      const index = tx.objectStore('set-aside').index('visit');
      const [keys, found] = await Promise.all([index.getAllKeys(visit), index.getAll(visit)]);
      return keys.map((at, place) => ({ at, row: found[place] as SetAside }));
    });
    const sealedAsides = await Promise.all(
      asides.map(async ({ at, row }) => ({ at, row: { ...row, found: await sealFound(key, row) } })),
    );
    await shelf.write(async (tx) => {
      await Promise.all([
        tx.objectStore('keys').put(wrapped, visit),
        // async: as above.
        ...rows.map(async (row) => tx.objectStore('events').put(row, [visit, row.seq])),
        ...sealedAsides.map(async ({ at, row }) => tx.objectStore('set-aside').put(row, at)),
      ]);
    });
    return key;
  }

  /** Another key than the lost one would stand in the way of the right one, should that come back with a backup. */
  #keyToSeal(visit: string, rows: readonly (VisitEvent | SealedRow)[]) {
    return rows.some((row) => 'sealed' in row) ? this.sealer.keyAgain(visit) : this.sealer.newKey(visit);
  }

  async #takeKeyOff(): Promise<void> {
    await this.sealer.ended().catch((cause: unknown) => {
      const why = 'The key of the last visit is still on this device. Load this page again';
      this.options.onKeyLeft?.(`${why}; if this stays, tell your administrator. (${String(cause)})`);
    });
  }
}
