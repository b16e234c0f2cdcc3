import * as z from 'zod/mini';
import type { Database, StoreName, Writing } from '../database';
import { type ClockMemory, clockSchema, freshClock } from '../retention';
import { type Deed, type Entry, endOf, entryAfter, type Head, readTrail } from './trail';

const timeSchema = z.looseObject({ at: z.iso.datetime() });

const always: StoreName[] = ['staff', 'desk', 'trail', 'keys'];

/** What visits and recordings lie in. */
export const fileStores: StoreName[] = ['visits', 'events', 'outbox', 'set-aside', 'clips'];

export type Change = (tx: Writing) => unknown;

/** Where the trail is written. Whoever calls sees to it that one thing is done after the other. */
export class Ledger {
  private constructor(
    private readonly database: Database,
    private readonly now: () => string,
    private head: Head,
  ) {}

  static async load(database: Database, now: () => string): Promise<Ledger> {
    const tx = database.db.transaction(['trail', 'desk']);
    const [head, seqs] = await Promise.all([
      tx.objectStore('desk').get('head'),
      tx.objectStore('trail').getAllKeys(),
    ]);
    return new Ledger(database, now, endOf(head, seqs));
  }

  /** Is there an entry yet? */
  get begun(): boolean {
    return this.head !== null;
  }

  /**
   * Stores an entry and what it is about, both or neither.
   * @param more stores that the change needs besides those of staff, keys and trail
   * @param before the entry it follows, where the change brings a trail along
   */
  async record(
    deed: Deed,
    change: Change = () => {},
    more: StoreName[] = [],
    before = this.head,
  ): Promise<void> {
    const entry = await entryAfter(before, this.now(), deed);
    const head = { seq: entry.seq, hash: entry.hash };
    await this.write(async (tx) => {
      await tx.objectStore('trail').add(entry, entry.seq);
      await tx.objectStore('desk').put(head, 'head');
      await change(tx);
    }, more);
    this.head = head;
  }

  /** All of it or none. */
  async write(change: Change, more: StoreName[] = []): Promise<void> {
    await this.database.write([...always, ...more], async (tx) => void (await change(tx)));
  }

  /** What is remembered of the device's clock, and when the last entry was written. */
  async clock(): Promise<{ memory: ClockMemory; last: string | null }> {
    const last = await this.database.db.transaction('trail').store.openCursor(null, 'prev');
    const at = timeSchema.safeParse(last?.value);
    const memory = clockSchema.safeParse(await this.database.db.get('desk', 'clock'));
    return { memory: memory.data ?? freshClock, last: at.data?.at ?? null };
  }

  async rememberClock(memory: ClockMemory): Promise<void> {
    await this.write((tx) => tx.objectStore('desk').put(memory, 'clock'));
  }

  /** Oldest first, and what is the matter with it; null: nothing. */
  async entries(): Promise<{ entries: Entry[]; broken: string | null }> {
    const tx = this.database.db.transaction(['trail', 'desk'], 'readonly');
    const [rows, head] = await Promise.all([
      tx.objectStore('trail').getAll(),
      tx.objectStore('desk').get('head'),
    ]);
    return readTrail(rows, head);
  }
}
