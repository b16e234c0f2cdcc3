import type { IDBPDatabase } from 'idb';
import { type Disk, migrations } from '../migrations';
import {
  aside,
  freshRow,
  headerSchema,
  isVisitId,
  readClip,
  readEvent,
  readOutbox,
  setAsideSchema,
} from '../rows';
import { type Bytes, rawOf } from '../seal/box';
import { sealEvent } from '../seal/events';
import { type Change, fileStores, type Ledger } from '../seal/ledger';
import type { Row as StaffRow } from '../seal/people';
import type { Sealer } from '../seal/sealer';
import { openWith, readCode } from '../seal/secret';
import { type Deed, headSchema, type Head as TrailHead } from '../seal/trail';
import { privateKeyOf, publicKeyOf, rewrap, unwrap, type WardRow } from '../seal/ward';
import type { VisitEvent, VisitHeader } from '../types';
import { BackupError } from './errors';
import { type BackupRecord, type Head, noKey, same, type VisitInFile } from './format';
import { fileKey } from './key';
import { whatLies } from './lies';
import { type Home, Plan, type Restored } from './plan';
import { type Checked, checkBackup, recordsOf } from './read';
import { writeBackup } from './write';

/** Who opens a file: an id that is in it, or the code in the envelope, and then who it is that uses it and why. */
export interface Opener {
  id: string;
  secret: string;
  /** With the code: who and why, for the trail. */
  reason?: string;
}

/** What is needed of whoever may open the records. */
export interface Desk {
  envelope: string;
  now: () => string;
  ledger: Ledger;
  sealer: () => Sealer | null;
  /** Id of whoever has opened. */
  session: () => string | null;
  list: () => Promise<VisitHeader[]>;
  ward: () => Promise<WardRow | null>;
  staff: () => Promise<StaffRow[]>;
  /** The private key of the ward, for the secret of whoever has opened. */
  again: (secret: string) => Promise<Bytes>;
  note: (what: Deed['what'], detail: string) => Promise<void>;
  /** While nothing else is written. */
  alone: <T>(work: () => Promise<T>) => Promise<T>;
  /** Takes a ward with its staff, where there is none yet, and opens for one of them. */
  takeOver: (ward: WardRow, staff: StaffRow[], by: Taking) => Promise<void>;
}

export interface Taking {
  id: string;
  privateKey: Bytes;
  deed: Deed;
  change: Change;
  /** The last entry of a trail that comes along. */
  before: TrailHead;
}

/** Saves all visits as one file, and restores them from one. Every failure is an error with a sentence for staff. */
export class Archive {
  constructor(
    private readonly db: IDBPDatabase<Disk>,
    private readonly desk: Desk,
  ) {}

  /** The id under which a file has the code of the envelope. */
  get envelope(): string {
    return this.desk.envelope;
  }

  /**
   * @param secret of whoever has opened
   * @param onProgress told the share of the visits that is done, 0..1
   */
  async save(
    secret: string,
    onProgress: (share: number) => void = () => {},
  ): Promise<{ file: Blob; visits: number }> {
    const { desk } = this;
    const [ward, staff] = [await desk.ward(), await desk.staff()];
    if (!ward) throw new Error('Set a staff secret first: a backup is sealed with it.');
    const privateKey = await desk.again(secret);
    const salt = crypto.getRandomValues(new Uint8Array(32));
    const head: Head = {
      at: desk.now(),
      schema: migrations.length,
      salt,
      ward,
      people: staff.map(({ id, locked }) => ({ id, locked })),
    };
    let visits = 0;
    const records = this.#records(staff, (count, of) => {
      visits = count;
      onProgress(count / of);
    });
    const { file, hash } = await writeBackup(head, await fileKey(privateKey, salt), records);
    // Written before the file is handed out, so it is not in it.
    await desk.note('backed-up', `${visits} visits, SHA-256 ${hash}`);
    return { file, visits };
  }

  async *#records(
    staff: StaffRow[],
    onVisit: (count: number, of: number) => void,
  ): AsyncGenerator<BackupRecord> {
    for (const { id, name, since } of staff) yield { kind: 'person', id, name, since };
    const trail = this.db.transaction(['trail', 'desk']);
    const [seqs, entries, head] = await Promise.all([
      trail.objectStore('trail').getAllKeys(),
      trail.objectStore('trail').getAll(),
      trail.objectStore('desk').get('head'),
    ]);
    for (const [at, row] of entries.entries()) {
      const seq: unknown = seqs[at];
      if (Number.isSafeInteger(seq) && (seq as number) >= 0)
        yield { kind: 'trail', seq: seq as number, row: row ?? null };
      else yield this.#stray(`entry ${String(seq)} of the trail`, row);
    }
    const newest = headSchema.safeParse(head).data;
    if (newest && newest.seq >= 0) yield { kind: 'trail-head', ...newest };
    for (const row of await this.db.getAll('set-aside')) {
      const { data } = setAsideSchema.safeParse(row);
      if (data) yield { kind: 'set-aside', row: { ...data, found: data.found ?? null } };
      else yield this.#stray('', row);
    }
    const listed = (await this.desk.list()).map(({ visit }) => visit);
    const keyed: unknown[] = await this.db.getAllKeys('keys');
    for (const key of keyed)
      if (!isVisitId(key))
        yield this.#stray(`key of ${String(key)}`, await this.db.get('keys', key as string));
    const all = [...new Set([...listed, ...keyed.filter(isVisitId)])];
    for (const [at, visit] of all.entries()) {
      yield* this.#visit(visit);
      onVisit(at + 1, all.length);
    }
    for (const key of await this.db.getAllKeys('clips')) {
      const row = await this.db.get('clips', key);
      const read = readClip(key, row);
      if ('clip' in read) yield { kind: 'clip', clip: read.clip };
      else yield this.#aside('clips', key, row, read.why);
    }
  }

  #aside(store: 'events' | 'clips', key: unknown, row: unknown, why: string): BackupRecord {
    return { kind: 'set-aside', row: aside(store, key, row ?? null, why, this.desk.now()) };
  }

  /** What belongs to nothing that could be restored goes along all the same. */
  #stray(where: string, found: unknown): BackupRecord {
    const row = {
      store: 'events' as const,
      visit: '',
      where,
      why: '',
      found: found ?? null,
      at: this.desk.now(),
    };
    return { kind: 'set-aside', row };
  }

  async *#visit(visit: string): AsyncGenerator<BackupRecord> {
    const { header, at, rows, wrapped: key, outbox } = await whatLies(this.db, visit);
    const events: VisitInFile['events'] = [];
    const read = rows.map((row, index) => readEvent(at[index], row));
    // One that a full disk kept from being sealed is sealed in the file.
    const good = read.flatMap((one) => ('event' in one ? [one.event] : []));
    const open = key === undefined && good.length > 0 && !good.some((event) => 'sealed' in event);
    const made = open ? await this.desk.sealer()?.newKey(visit) : undefined;
    for (const [index, one] of read.entries()) {
      if ('event' in one && 'sealed' in one.event) events.push(one.event);
      else if ('event' in one && made) events.push(await sealEvent(made.key, one.event as VisitEvent));
      else {
        const why = 'why' in one ? one.why : 'it was not sealed';
        yield this.#aside('events', at[index], rows[index], why);
      }
    }
    const last = Math.max(-1, ...events.map(({ seq }) => seq));
    yield {
      kind: 'visit',
      visit,
      key: made?.wrapped ?? (key instanceof Uint8Array ? (key as Bytes) : noKey),
      next: Math.max(headerSchema.safeParse(header).data?.next ?? 0, last + 1),
      events,
      outbox: outbox === undefined ? null : (readOutbox(outbox) ?? { ...freshRow(visit), doubtful: true }),
    };
  }

  check(file: Blob, onProgress?: (share: number) => void): Promise<Checked> {
    return checkBackup(file, migrations.length, onProgress);
  }

  /** Was the file saved with the key that the ward has here? null: there is none here yet. */
  async sameWard(checked: Checked): Promise<boolean | null> {
    const ward = await this.desk.ward();
    return ward && same(ward.publicKey, checked.head.ward.publicKey);
  }

  /**
   * All of it or nothing. Where the ward has no key yet, the file's is taken, with its staff, and the records are open
   * afterwards; else its visits are added and their keys wrapped to the key here, and its staff stay away.
   */
  async restore(
    checked: Checked,
    opener: Opener,
    onProgress: (share: number) => void = () => {},
  ): Promise<Restored> {
    const { desk } = this;
    const { head } = checked;
    const here = await desk.ward();
    const by = desk.session();
    if (here && by === null) throw new Error('The records are closed. Open them first.');
    const privateKey = await this.#unlock(head, opener, here);
    const key = await fileKey(privateKey, head.salt);
    const plan = await Plan.begin(this.db, await this.#home(head, privateKey, here));
    const names = new Map<string, { name: string; since: string }>();
    const trail = new Map<number, unknown>();
    let newest: TrailHead = null;
    for await (const record of recordsOf(checked, key, onProgress)) {
      if (record.kind === 'person') names.set(record.id, record);
      else if (record.kind === 'trail') trail.set(record.seq, record.row);
      else if (record.kind === 'trail-head') newest = { seq: record.seq, hash: record.hash };
      else await plan.take(record);
    }
    const { added, longer, differ, clips } = plan.result;
    const told = `${added} visits added, ${longer} added to, ${differ} set aside, ${clips} recordings; SHA-256 ${checked.hash}`;
    if (desk.session() !== by) throw new Error('The records were closed meanwhile, so nothing was restored.');
    if (here) {
      await desk.alone(() =>
        desk.ledger.record({ who: by ?? '', what: 'restored', detail: told }, plan.change, fileStores),
      );
      return plan.result;
    }
    const staff = head.people.map(({ id, locked }): StaffRow => {
      const { name, since } = names.get(id) ?? { name: id, since: head.at };
      return { id, name, since, failures: { count: 0, last: null }, locked };
    });
    // A trail that has begun here goes on; that of the file is kept in the file, which the entry names.
    const follows = desk.ledger.begun ? null : newest;
    await desk.takeOver(head.ward, staff, {
      id: opener.id,
      privateKey,
      deed: { who: opener.id, what: 'restored', detail: opener.reason ? `${opener.reason}: ${told}` : told },
      before: follows,
      change: async (tx) => {
        if (follows)
          for (const [seq, row] of trail) if (seq <= follows.seq) await tx.objectStore('trail').add(row, seq);
        await plan.change(tx);
      },
    });
    return plan.result;
  }

  async #unlock(head: Head, { id, secret, reason }: Opener, here: WardRow | null): Promise<Bytes> {
    const code = id === this.desk.envelope;
    if (code && !reason?.trim()) throw new Error('Write who you are and why the code is used.');
    const locked = head.people.find((one) => one.id === id)?.locked;
    const opened = locked && (await openWith(code ? readCode(secret) : secret, locked, id));
    if (opened) return opened;
    // Somebody may have changed their secret since; with the same key of the ward the present one is as good.
    if (here && same(here.publicKey, head.ward.publicKey) && id === this.desk.session())
      return this.desk.again(secret);
    throw new BackupError('closed', 'That did not open the file.');
  }

  async #home(head: Head, privateKey: Bytes, here: WardRow | null): Promise<Home> {
    const theirs = await privateKeyOf(privateKey).catch(() => null);
    if (!theirs) throw new BackupError('misfit', 'The key of the ward in this backup is none.');
    const foreign = here !== null && !same(here.publicKey, head.ward.publicKey);
    const to = foreign ? await publicKeyOf(here.publicKey) : null;
    return {
      from: head.at,
      now: this.desk.now(),
      wrapped: async ({ visit, key }) => (to ? rewrap(theirs, to, key, visit) : key),
      keys: async ({ visit, key }, wrapped) => {
        const sealed = wrapped !== undefined;
        if (sealed && wrapped instanceof Uint8Array && same(wrapped, key))
          return { ourKey: null, theirKey: null, sameKey: true, sealed };
        const [ourKey, theirKey] = await Promise.all([
          sealed
            ? this.desk
                .sealer()
                ?.keyFor(visit, wrapped)
                .catch(() => null)
            : null,
          unwrap(theirs, key, visit),
        ]);
        const sameKey = !!ourKey && !!theirKey && same(await rawOf(ourKey), await rawOf(theirKey));
        return { ourKey: ourKey ?? null, theirKey, sameKey, sealed };
      },
    };
  }
}
