import type { IDBPDatabase } from 'idb';
import * as z from 'zod/mini';
import type { Archive, Desk } from '../backup/archive';
import { StoreError, toStoreError } from '../errors';
import type { Disk } from '../migrations';
import type { VisitHeader } from '../types';
import type { Bytes } from './box';
import { type Failures, failedAgain, failuresSchema, lockAt, none, waitOf } from './failures';
import { type Change, fileStores, Ledger } from './ledger';
import { Sealer } from './sealer';
import { lockedSchema, lockWith, newCode, openWith, readCode, weakness } from './secret';
import type { Deed, Entry } from './trail';
import { newWard, privateKeyOf, publicKeyOf, rewrap, wardRowSchema } from './ward';

/** Somebody who may open the records. */
export interface Person {
  id: string;
  name: string;
  /** Let in by others of the staff only. */
  locked: boolean;
}

/** Who has opened. */
export interface Session {
  id: string;
  name: string;
}

export interface NewPerson {
  id: string;
  name: string;
  secret: string;
}

/** A sentence for staff. */
export class AccessError extends Error {
  override readonly name = 'AccessError';
}

const rowSchema = z.strictObject({
  id: z.string(),
  name: z.string(),
  since: z.iso.datetime(),
  failures: failuresSchema,
  locked: lockedSchema,
});
export type Row = z.infer<typeof rowSchema>;

/** The code in the envelope; no id of staff looks so. */
const envelope = '!';
/** Tries by ids that nobody has count together. */
const strangers = 'strangers';
const idPattern = /^[a-z0-9][a-z0-9._-]{1,31}$/;

interface Parts {
  sealer: () => Sealer | null;
  /** Takes up the key of the ward, once it is stored. @param first done before, while no visit is written */
  begin: (first?: () => Promise<void>) => Promise<void>;
  now: () => string;
  list: () => Promise<VisitHeader[]>;
  /** While no visit is written. */
  alone: <T>(work: () => Promise<T>) => Promise<T>;
}

/**
 * Who may open the records, and the trail of what was done with them. Nothing is opened or changed without its entry
 * being stored. Every failure is an AccessError or a StoreError, both with a sentence for staff.
 */
export class Access {
  #session: Session | null = null;
  #turn: Promise<unknown> = Promise.resolve();

  private constructor(
    private readonly db: IDBPDatabase<Disk>,
    private readonly parts: Parts,
    /** For what is no business of anybody who has opened. */
    readonly ledger: Ledger,
  ) {}

  static async load(db: IDBPDatabase<Disk>, parts: Parts): Promise<Access> {
    return new Access(db, parts, await Ledger.load(db, parts.now));
  }

  get session(): Session | null {
    return this.#session;
  }

  /**
   * Makes the key of the ward, seals all there is, and opens.
   * @returns the code for the envelope, which is shown once
   */
  setUp(first: NewPerson): Promise<string> {
    return this.#inTurn(async () => {
      if (this.parts.sealer()) throw new AccessError('The records are sealed already.');
      const { publicKey, privateKey } = await newWard();
      const row = await this.#newRow(first, privateKey);
      const { code, row: kept } = await this.#newCode(privateKey);
      const ward = Sealer.ward(publicKey, this.parts.now());
      await this.ledger.record({ who: row.id, what: 'set-up' }, async (tx) => {
        await tx.objectStore('desk').add(ward, 'ward');
        await tx.objectStore('staff').put(row, row.id);
        await tx.objectStore('staff').put(kept, envelope);
      });
      await this.parts.begin();
      await this.#open(row, privateKey, { who: row.id, what: 'opened' });
      return code;
    });
  }

  open(id: string, secret: string): Promise<void> {
    return this.#inTurn(async () => {
      const { row, privateKey } = await this.#tried(tidy(id), secret);
      await this.#open(row, privateKey, { who: row.id, what: 'opened' });
    });
  }

  /** Breaks the glass: the code from the envelope, with who uses it and why. */
  openInEmergency(name: string, reason: string, code: string): Promise<void> {
    return this.#inTurn(async () => {
      if (!name.trim() || !reason.trim())
        throw new AccessError('Write who you are and why it has to be now.');
      const { row, privateKey } = await this.#tried(envelope, readCode(code));
      const detail = `${name.trim().slice(0, 80)}: ${reason.trim().slice(0, 400)}`;
      await this.#open({ ...row, name: name.trim().slice(0, 80) }, privateKey, {
        who: envelope,
        what: 'emergency-opened',
        detail,
      });
    });
  }

  /** Closed at once, whatever becomes of the entry. */
  close(why: string): Promise<void> {
    const who = this.#session?.id;
    this.#session = null;
    this.parts.sealer()?.close();
    return this.#inTurn(async () => {
      if (who !== undefined) await this.ledger.record({ who, what: 'closed', detail: why });
    });
  }

  /** An entry for what whoever has opened does. */
  note(what: Deed['what'], visit?: string, detail?: string): Promise<void> {
    return this.#inTurn(() => this.ledger.record(this.#deed(what, { visit, detail })));
  }

  /** An entry for what the kiosk does by itself, or whoever does it while nothing is sealed. */
  noteNameless(what: Deed['what'], visit: string, detail = ''): Promise<void> {
    return this.#inTurn(() => this.ledger.record({ who: '', what, visit, ...(detail ? { detail } : {}) }));
  }

  /** Sorted by id. */
  async people(): Promise<Person[]> {
    const rows = await this.#rows();
    return rows
      .filter(({ id }) => id !== envelope)
      .map(({ id, name, failures }) => ({ id, name, locked: failures.count >= lockAt }));
  }

  /** @param secret of whoever has opened: the private key is taken out anew */
  add(secret: string, person: NewPerson): Promise<void> {
    return this.#inTurn(async () => {
      const { privateKey } = await this.#again(secret);
      const row = await this.#newRow(person, privateKey);
      if ((await this.#row(row.id)) !== null) throw new AccessError(`There is a “${row.id}” already.`);
      await this.ledger.record(this.#deed('staff-added', { detail: row.id }), (tx) =>
        tx.objectStore('staff').add(row, row.id),
      );
    });
  }

  changeSecret(old: string, secret: string): Promise<void> {
    return this.#inTurn(async () => {
      const { row, privateKey } = await this.#again(old);
      if (row.id === envelope) throw new AccessError('The code in the envelope is renewed instead.');
      const { locked } = await this.#newRow({ ...row, secret }, privateKey);
      await this.ledger.record(this.#deed('secret-changed'), (tx) =>
        tx.objectStore('staff').put({ ...row, locked, failures: none }, row.id),
      );
    });
  }

  /** @returns a new code for the envelope; the one before opens nothing any more */
  renewCode(secret: string): Promise<string> {
    return this.#inTurn(async () => {
      const { privateKey } = await this.#again(secret);
      const { code, row } = await this.#newCode(privateKey);
      await this.ledger.record(this.#deed('code-renewed'), (tx) =>
        tx.objectStore('staff').put(row, envelope),
      );
      return code;
    });
  }

  /**
   * A new key of the ward: the keys of all visits are wrapped to it. Ids other than the own one go, because the new key
   * can be put under their secrets only when they type them.
   * @returns a new code for the envelope
   */
  exchangeKey(secret: string): Promise<string> {
    return this.#inTurn(async () => {
      const { row, privateKey: before } = await this.#again(secret);
      if (row.id === envelope) throw new AccessError('Open with an id of your own for that.');
      const { publicKey, privateKey } = await newWard();
      const locked = await lockWith(secret, privateKey, row.id);
      const { code, row: kept } = await this.#newCode(privateKey);
      const [from, to] = await Promise.all([privateKeyOf(before), publicKeyOf(publicKey)]);
      await this.parts.begin(async () => {
        const visits = await this.db.getAllKeys('keys');
        const wrapped = await Promise.all(
          visits.map(async (visit) => rewrap(from, to, await this.db.get('keys', visit), visit)),
        );
        await this.ledger.record(
          this.#deed('key-exchanged'),
          async (tx) => {
            const staff = tx.objectStore('staff');
            await staff.clear();
            await staff.put({ ...row, locked, failures: none }, row.id);
            await staff.put(kept, envelope);
            await tx.objectStore('desk').put(Sealer.ward(publicKey, this.parts.now()), 'ward');
            for (const [index, visit] of visits.entries())
              await tx.objectStore('keys').put(wrapped[index], visit);
            // Made anew when they are asked for.
            await tx.objectStore('digests').clear();
          },
          ['digests'],
        );
      });
      await this.parts.sealer()?.open(privateKey);
      return code;
    });
  }

  remove(id: string): Promise<void> {
    return this.#inTurn(async () => {
      if (id === this.#session?.id) throw new AccessError('Nobody can remove their own id.');
      await this.ledger.record(this.#deed('staff-removed', { detail: id }), (tx) =>
        tx.objectStore('staff').delete(id),
      );
    });
  }

  /** Ends the lock of an id. */
  letIn(id: string): Promise<void> {
    return this.#inTurn(async () => {
      const row = await this.#row(id);
      if (!row) throw new AccessError(`There is no “${id}”.`);
      await this.ledger.record(this.#deed('staff-let-in', { detail: id }), (tx) =>
        tx.objectStore('staff').put({ ...row, failures: none }, id),
      );
    });
  }

  /** The trail, oldest first, and what is the matter with it; null: nothing. */
  trail(): Promise<{ entries: Entry[]; broken: string | null }> {
    return this.#inTurn(() => this.ledger.entries());
  }

  /** Backup and restore, a piece of their own. */
  async archive(): Promise<Archive> {
    const { Archive } = await import('../backup/archive');
    return new Archive(this.db, {
      envelope,
      now: this.parts.now,
      ledger: this.ledger,
      sealer: this.parts.sealer,
      session: () => this.#session?.id ?? null,
      list: this.parts.list,
      ward: async () => wardRowSchema.safeParse(await this.db.get('desk', 'ward')).data ?? null,
      staff: () => this.#rows(),
      again: (secret) => this.#inTurn(async () => (await this.#again(secret)).privateKey),
      note: (what, detail) => this.note(what, undefined, detail),
      alone: (work) => this.#inTurn(() => this.parts.alone(work)),
      takeOver: (...taken) => this.#inTurn(() => this.#takeOver(...taken)),
    });
  }

  readonly #takeOver: Desk['takeOver'] = async (ward, staff, { id, privateKey, deed, change, before }) => {
    const row = staff.find((one) => one.id === id);
    if (!row || this.parts.sealer()) throw new AccessError('The records were sealed meanwhile.');
    const take: Change = async (tx) => {
      await tx.objectStore('desk').add(ward, 'ward');
      for (const one of staff) await tx.objectStore('staff').add(one, one.id);
      await change(tx);
    };
    await this.parts.alone(() => this.ledger.record(deed, take, fileStores, before ?? undefined));
    await this.parts.begin();
    await this.#open(row, privateKey, { who: id, what: id === envelope ? 'emergency-opened' : 'opened' });
  };

  /** One try. It is counted before it is made, so that pulling the plug wins nothing. */
  async #tried(id: string, secret: string): Promise<{ row: Row; privateKey: Bytes }> {
    const row = await this.#row(id);
    const before = row?.failures ?? (await this.#strange());
    const now = this.parts.now();
    const wait = waitOf(before, now, row !== null && id !== envelope);
    if (wait === null)
      throw new AccessError(
        'This id is locked after too many tries. Somebody else of the staff can let it in, or open with the code in the envelope.',
      );
    if (wait > 0) throw new AccessError(`Too many tries. Wait ${waiting(wait)}, then try again.`);
    const failures = failedAgain(before, now);
    await this.ledger.write((tx) =>
      row
        ? tx.objectStore('staff').put({ ...row, failures }, id)
        : tx.objectStore('desk').put(failures, strangers),
    );
    // For an id that nobody has it takes as long.
    const privateKey = row ? await openWith(secret, row.locked, id) : await lockWith(secret, nothing, '');
    if (row && privateKey instanceof Uint8Array) return { row: { ...row, failures: none }, privateKey };
    const locks = row !== null && id !== envelope && failures.count >= lockAt;
    // Somebody may have typed the secret where the id belongs: only ids that there are go into the trail.
    await this.ledger.record({ who: row ? id : '?', what: locks ? 'locked' : 'failed' });
    throw new AccessError(
      locks
        ? 'That did not open. This id is locked now; somebody else of the staff can let it in.'
        : 'That did not open. Check the id and the secret.',
    );
  }

  /** The secret of whoever has opened, once more. */
  #again(secret: string): Promise<{ row: Row; privateKey: Bytes }> {
    const { id } = this.#opened();
    return this.#tried(id, id === envelope ? readCode(secret) : secret).then(async (tried) => {
      await this.ledger.write((tx) => tx.objectStore('staff').put(tried.row, id));
      return tried;
    });
  }

  async #open(row: Row, privateKey: Bytes, deed: Deed): Promise<void> {
    const { id, name } = row;
    await this.ledger.record(deed, async (tx) => {
      const stored = (await tx.objectStore('staff').get(id)) as Row;
      await tx.objectStore('staff').put({ ...stored, failures: none }, id);
    });
    await this.parts.sealer()?.open(privateKey);
    this.#session = { id, name };
  }

  #opened(): Session {
    if (!this.#session) throw new AccessError('The records are closed. Open them first.');
    return this.#session;
  }

  #deed(what: Deed['what'], more: { visit?: string | undefined; detail?: string | undefined } = {}): Deed {
    const { visit, detail } = more;
    return { who: this.#opened().id, what, ...(visit ? { visit } : {}), ...(detail ? { detail } : {}) };
  }

  async #newRow({ id, name, secret }: NewPerson, privateKey: Bytes): Promise<Row> {
    const short = tidy(id);
    if (!idPattern.test(short))
      throw new AccessError('An id has 2 to 32 small letters, digits, dots or dashes.');
    if (!name.trim()) throw new AccessError('Write the name that belongs to the id.');
    const weak = weakness(secret, short, name.trim());
    if (weak) throw new AccessError(weak);
    const locked = await lockWith(secret, privateKey, short);
    return { id: short, name: name.trim().slice(0, 80), since: this.parts.now(), failures: none, locked };
  }

  async #newCode(privateKey: Bytes): Promise<{ code: string; row: Row }> {
    const code = newCode();
    const locked = await lockWith(readCode(code), privateKey, envelope);
    return {
      code,
      row: { id: envelope, name: 'Envelope', since: this.parts.now(), failures: none, locked },
    };
  }

  async #row(id: string): Promise<Row | null> {
    const found: unknown = await this.db.get('staff', id);
    const read = rowSchema.safeParse(found);
    if (found !== undefined && read.data?.id !== id)
      throw new AccessError('The entry of this id cannot be read.');
    return read.data ?? null;
  }

  async #rows(): Promise<Row[]> {
    const { store } = this.db.transaction('staff');
    const [ids, rows] = await Promise.all([store.getAllKeys(), store.getAll()]);
    const read = rows.map((row) => rowSchema.safeParse(row).data);
    return read.filter((row, at) => row !== undefined && row.id === ids[at]) as Row[];
  }

  async #strange(): Promise<Failures> {
    return failuresSchema.safeParse(await this.db.get('desk', strangers)).data ?? none;
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const mine = this.#turn.then(work);
    this.#turn = mine.catch(() => undefined);
    return mine.catch((cause: unknown) => {
      throw cause instanceof AccessError || cause instanceof StoreError ? cause : toStoreError(cause);
    });
  }
}

const nothing = new Uint8Array(1);

const tidy = (id: string) => id.trim().toLowerCase();

const waiting = (ms: number): string =>
  ms > 60_000 ? `${Math.ceil(ms / 60_000)} minutes` : `${Math.ceil(ms / 1000)} seconds`;
