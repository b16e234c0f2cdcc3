import type { IDBPDatabase } from 'idb';
import { StoreError } from '../errors';
import type { Disk } from '../migrations';
import { freshRow, headerAfter, headerSchema, readEvent, setAsideSchema } from '../rows';
import { unsealEvent } from '../seal/events';
import type { Change } from '../seal/ledger';
import type { Clip, OutboxRow, SetAside, VisitHeader } from '../types';
import { BackupError } from './errors';
import { type BackupRecord, hex, sha256, type VisitInFile } from './format';
import { lacking, type Row, type Two } from './lacking';
import { whatLies } from './lies';
import { pack } from './pack';

/** What a restore did, in visits. */
export interface Restored {
  added: number;
  /** They were here, and the file had more of them, or the key that was lost here. */
  longer: number;
  same: number;
  /** They went on in another way in the file: that is set aside, and the visit here stays as it is. */
  differ: number;
  clips: number;
}

/** How the visits of a file get at home here. */
export interface Home {
  /** Of the file, for people. */
  from: string;
  now: string;
  /** The wrapped key of a visit that is new here, as it may lie here. */
  wrapped: (visit: VisitInFile) => Promise<unknown>;
  /** How a visit that is here already lies, and the keys of both. */
  keys: (visit: VisitInFile, wrappedHere: unknown) => Promise<Omit<Two, 'here' | 'there'>>;
}

interface Here {
  rows: Row[];
  header: VisitHeader | null;
  wrapped: unknown;
  outbox: OutboxRow | undefined;
}

/** As many requests are on their way at once. */
const batch = 500;

/** All that is to be written by one restore, found out before anything is. Nothing that lies here is written over. */
export class Plan {
  readonly result: Restored = { added: 0, longer: 0, same: 0, differ: 0, clips: 0 };
  readonly #seen = new Set<string>();
  readonly #headers: { header: VisitHeader; before: number | null }[] = [];
  readonly #events: Row[] = [];
  readonly #keys: { visit: string; wrapped: unknown }[] = [];
  /** In place of lost ones. */
  readonly #keysBack: { visit: string; wrapped: unknown }[] = [];
  readonly #outbox: OutboxRow[] = [];
  readonly #asides: SetAside[] = [];
  readonly #clips = new Map<string, Clip>();

  private constructor(
    private readonly db: IDBPDatabase<Disk>,
    private readonly home: Home,
    private readonly known: Set<string>,
  ) {}

  static async begin(db: IDBPDatabase<Disk>, home: Home): Promise<Plan> {
    const rows: unknown[] = await db.getAll('set-aside');
    return new Plan(db, home, new Set(await Promise.all(rows.map(nameOf))));
  }

  /** Takes visits, recordings and what was set aside; the rest is for others. */
  async take(record: BackupRecord): Promise<void> {
    if (record.kind === 'visit') await this.#visit(record);
    if (record.kind === 'set-aside') await this.#aside(record.row as SetAside);
    if (record.kind === 'clip') await this.#clip(record.clip);
  }

  async #visit(visit: VisitInFile): Promise<void> {
    if (this.#seen.has(visit.visit)) throw misfit(`visit ${visit.visit} is in it twice`);
    this.#seen.add(visit.visit);
    const seqs = visit.events.map(({ seq }) => seq);
    if (visit.events.some((row) => row.visit !== visit.visit || row.seq < 0 || row.seq >= visit.next))
      throw misfit(`an entry of visit ${visit.visit} belongs elsewhere`);
    if (new Set(seqs).size < seqs.length) throw misfit(`visit ${visit.visit} has two entries in one place`);
    const here = await this.#here(visit.visit);
    if (here) await this.#merge(visit, here);
    else await this.#add(visit);
  }

  async #add(visit: VisitInFile): Promise<void> {
    const events = [...visit.events].sort((a, b) => a.seq - b.seq);
    const header = headerAfter(null, events);
    // None stands in the way of the right one, should that come with another file.
    if (visit.key.length > 0)
      this.#keys.push({ visit: visit.visit, wrapped: await this.home.wrapped(visit) });
    // Without an entry that can be read it is in no list; its key may still open what was set aside.
    if (!header) return;
    this.#headers.push({ header: { ...header, next: Math.max(header.next, visit.next) }, before: null });
    this.#events.push(...events);
    this.result.added++;
    if (visit.outbox) this.#outbox.push(asDoubtful(visit.outbox, visit.visit));
  }

  async #merge(visit: VisitInFile, here: Here): Promise<void> {
    const found = await this.home.keys(visit, here.wrapped);
    const { theirKey } = found;
    // Where the key here is lost or spoilt, and that of the file opens what lies here, it takes its place.
    const lost = found.ourKey === null && theirKey !== null && (await opensSome(theirKey, here.rows));
    if (lost) this.#keysBack.push({ visit: visit.visit, wrapped: await this.home.wrapped(visit) });
    const keys = lost ? { ourKey: theirKey, theirKey, sameKey: true, sealed: true } : found;
    const { add, differ } = await lacking({ ...keys, here: here.rows, there: visit.events });
    if (add.length > 0) {
      const all = [...here.rows, ...add].sort((a, b) => a.seq - b.seq);
      const header = headerAfter(null, all);
      const next = Math.max(header?.next ?? 0, here.header?.next ?? 0, visit.next);
      if (header) this.#headers.push({ header: { ...header, next }, before: here.header?.next ?? 0 });
      this.#events.push(...add);
      this.result.longer++;
      if (visit.outbox && !here.outbox) this.#outbox.push(asDoubtful(visit.outbox, visit.visit));
    } else if (lost) this.result.longer++;
    else if (differ.length === 0) this.result.same++;
    if (differ.length > 0) this.result.differ++;
    for (const row of differ)
      await this.#aside({
        store: 'events',
        visit: visit.visit,
        where: `event ${row.seq}`,
        why: `the backup of ${this.home.from} has another entry here`,
        found: row,
        at: this.home.now,
      });
  }

  async #aside(row: SetAside): Promise<void> {
    const name = await nameOf(row);
    if (this.known.has(name)) return;
    this.known.add(name);
    this.#asides.push(row);
  }

  async #clip(clip: Clip): Promise<void> {
    if (this.#clips.has(clip.key) || (await this.db.getKey('clips', clip.key)) !== undefined) return;
    this.#clips.set(clip.key, clip);
    this.result.clips++;
  }

  async #here(visit: string): Promise<Here | null> {
    const { header, at: eventKeys, rows: found, wrapped, outbox } = await whatLies(this.db, visit);
    if (header === undefined && wrapped === undefined && eventKeys.length === 0) return null;
    const rows = eventKeys.flatMap((key, at) => {
      const read = readEvent(key, found[at]);
      return 'event' in read ? [read.event] : [];
    });
    return {
      rows,
      header: headerSchema.safeParse(header).data ?? null,
      wrapped,
      outbox: outbox as OutboxRow | undefined,
    };
  }

  /** Writes it. What has changed here meanwhile is not written over: then all of it fails. */
  readonly change: Change = async (tx) => {
    for (const { header, before } of this.#headers) {
      const now = headerSchema.safeParse(await tx.objectStore('visits').get(header.visit)).data;
      if (before !== null && (now?.next ?? 0) !== before)
        throw new StoreError('failed', `visit ${header.visit} was added to meanwhile; try again`);
    }
    const visits = tx.objectStore('visits');
    await inBatches(this.#headers, ({ header, before }) =>
      before === null ? visits.add(header, header.visit) : visits.put(header, header.visit),
    );
    await inBatches(this.#keys, ({ visit, wrapped }) => tx.objectStore('keys').add(wrapped, visit));
    await inBatches(this.#keysBack, ({ visit, wrapped }) => tx.objectStore('keys').put(wrapped, visit));
    await inBatches(this.#events, (row) => tx.objectStore('events').add(row, [row.visit, row.seq]));
    await inBatches(this.#outbox, (row) => tx.objectStore('outbox').add(row, row.visit));
    await inBatches(this.#asides, (row) => tx.objectStore('set-aside').add(row));
    await inBatches([...this.#clips.values()], (clip) => tx.objectStore('clips').add(clip, clip.key));
  };
}

async function opensSome(key: CryptoKey, rows: readonly Row[]): Promise<boolean> {
  for (const row of rows) if ('sealed' in row && 'event' in (await unsealEvent(key, row))) return true;
  return false;
}

async function inBatches<T>(all: readonly T[], add: (one: T) => Promise<unknown>): Promise<void> {
  for (let at = 0; at < all.length; at += batch)
    // async: an add that throws at once then rejects like the others, and none goes unheard.
    await Promise.all(all.slice(at, at + batch).map(async (one) => add(one)));
}

/** Another kiosk may have filed it since: whoever tries it now has to look first. */
const asDoubtful = (row: OutboxRow, visit: string): OutboxRow =>
  row.state === 'filed' ? { ...row, visit } : { ...freshRow(visit), doubtful: true };

/** The same thing set aside twice, whenever it was. */
async function nameOf(row: unknown): Promise<string> {
  const read = setAsideSchema.safeParse(row);
  const { at: _, ...rest } = read.data ?? { at: '', row };
  return hex(await sha256(pack(rest)));
}

const misfit = (why: string) => new BackupError('misfit', `This backup cannot be read: ${why}.`);
