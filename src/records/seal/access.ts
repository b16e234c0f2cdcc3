import type { Archive, Desk } from '../backup/archive';
import type { Database } from '../database';
import { StoreError, toStoreError } from '../errors';
import type { VisitHeader } from '../types';
import type { Bytes } from './box';
import { AccessError } from './errors';
import { none } from './failures';
import { type Change, fileStores, Ledger } from './ledger';
import { envelope, type NewPerson, nameAs, People, type Person, type Row, tidy } from './people';
import { Sealer } from './sealer';
import { lockWith, readCode } from './secret';
import type { Deed, Entry } from './trail';
import { tryToOpen } from './tries';
import { newWard, privateKeyOf, publicKeyOf, rewrap, wardRowSchema } from './ward';

/** Who has opened. */
export interface Session {
  id: string;
  name: string;
}

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
  /** How often it was closed: what began before the last time opens nothing. */
  #closings = 0;
  #turn: Promise<unknown> = Promise.resolve();
  readonly #people: People;

  private constructor(
    private readonly database: Database,
    private readonly parts: Parts,
    /** For what is no business of anybody who has opened. */
    readonly ledger: Ledger,
  ) {
    this.#people = new People(database.db, parts.now);
  }

  static async load(database: Database, parts: Parts): Promise<Access> {
    return new Access(database, parts, await Ledger.load(database, parts.now));
  }

  get session(): Session | null {
    return this.#session;
  }

  /**
   * Makes the key of the ward, seals all there is, and opens.
   * @returns the code for the envelope, which is shown once
   */
  setUp(first: NewPerson): Promise<string> {
    const since = this.#closings;
    return this.#inTurn(async () => {
      if (this.parts.sealer()) throw new AccessError('The records are sealed already.');
      const { publicKey, privateKey } = await newWard();
      const row = await this.#people.newRow(first, privateKey);
      const { code, row: kept } = await this.#people.newCode(privateKey);
      const ward = Sealer.ward(publicKey, this.parts.now());
      await this.ledger.record({ who: row.id, what: 'set-up' }, async (tx) => {
        await tx.objectStore('desk').add(ward, 'ward');
        await tx.objectStore('staff').put(row, row.id);
        await tx.objectStore('staff').put(kept, envelope);
      });
      await this.parts.begin();
      await this.#open(row, privateKey, { who: row.id, what: 'opened' }, since);
      return code;
    });
  }

  open(id: string, secret: string): Promise<void> {
    const since = this.#closings;
    const short = tidy(id);
    return this.#inTurn(async () => {
      // The code in the envelope is none of an id: who uses it says who it is and why.
      const { row, privateKey } = await this.#tried(short === envelope ? '' : short, secret);
      if (!(await this.#open(row, privateKey, { who: row.id, what: 'opened' }, since)))
        throw closedMeanwhile();
    });
  }

  /** Breaks the glass: the code from the envelope, with who uses it and why. */
  openInEmergency(name: string, reason: string, code: string): Promise<void> {
    const since = this.#closings;
    return this.#inTurn(async () => {
      if (!name.trim() || !reason.trim())
        throw new AccessError('Write who you are and why it has to be now.');
      const { row, privateKey } = await this.#tried(envelope, readCode(code));
      const detail = `${nameAs(name)}: ${reason.trim().slice(0, 400)}`;
      const deed: Deed = { who: envelope, what: 'emergency-opened', detail };
      if (!(await this.#open({ ...row, name: nameAs(name) }, privateKey, deed, since)))
        throw closedMeanwhile();
    });
  }

  /** Closed at once, whatever becomes of the entry. */
  close(why: string): Promise<void> {
    const who = this.#session?.id;
    this.#session = null;
    this.#closings += 1;
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
  people(): Promise<Person[]> {
    return this.#people.all();
  }

  /** @param secret of whoever has opened: the private key is taken out anew */
  add(secret: string, person: NewPerson): Promise<void> {
    return this.#inTurn(async () => {
      const { privateKey } = await this.#again(secret);
      const row = await this.#people.newRow(person, privateKey);
      if ((await this.#people.row(row.id)) !== null) throw new AccessError(`There is a “${row.id}” already.`);
      await this.ledger.record(this.#deed('staff-added', { detail: row.id }), (tx) =>
        tx.objectStore('staff').add(row, row.id),
      );
    });
  }

  changeSecret(old: string, secret: string): Promise<void> {
    return this.#inTurn(async () => {
      const { row, privateKey } = await this.#again(old);
      if (row.id === envelope) throw new AccessError('The code in the envelope is renewed instead.');
      const { locked } = await this.#people.newRow({ ...row, secret }, privateKey);
      await this.ledger.record(this.#deed('secret-changed'), (tx) =>
        tx.objectStore('staff').put({ ...row, locked, failures: none }, row.id),
      );
    });
  }

  /** @returns a new code for the envelope; the one before opens nothing any more */
  renewCode(secret: string): Promise<string> {
    return this.#inTurn(async () => {
      const { privateKey } = await this.#again(secret);
      const { code, row } = await this.#people.newCode(privateKey);
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
    const since = this.#closings;
    return this.#inTurn(async () => {
      const { row, privateKey: before } = await this.#again(secret);
      if (row.id === envelope) throw new AccessError('Open with an id of your own for that.');
      const { publicKey, privateKey } = await newWard();
      const locked = await lockWith(secret, privateKey, row.id);
      const { code, row: kept } = await this.#people.newCode(privateKey);
      const [from, to] = await Promise.all([privateKeyOf(before), publicKeyOf(publicKey)]);
      await this.parts.begin(async () => {
        const visits = await this.database.db.getAllKeys('keys');
        const wrapped = await Promise.all(
          visits.map(async (visit) => rewrap(from, to, await this.database.db.get('keys', visit), visit)),
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
      await this.#hold(privateKey, since);
      return code;
    });
  }

  remove(id: string): Promise<void> {
    return this.#inTurn(async () => {
      if (id === this.#session?.id) throw new AccessError('Nobody can remove their own id.');
      if (id === envelope || (await this.database.db.getKey('staff', id)) === undefined)
        throw new AccessError(`There is no “${id}”.`);
      await this.ledger.record(this.#deed('staff-removed', { detail: id }), (tx) =>
        tx.objectStore('staff').delete(id),
      );
    });
  }

  /** Ends the lock of an id. */
  letIn(id: string): Promise<void> {
    return this.#inTurn(async () => {
      const row = await this.#people.row(id);
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
    return new Archive(this.database.db, {
      envelope,
      now: this.parts.now,
      ledger: this.ledger,
      sealer: this.parts.sealer,
      session: () => this.#session?.id ?? null,
      list: this.parts.list,
      ward: async () => wardRowSchema.safeParse(await this.database.db.get('desk', 'ward')).data ?? null,
      staff: () => this.#people.rows(),
      again: (secret) => this.#inTurn(async () => (await this.#again(secret)).privateKey),
      note: (what, detail) => this.note(what, undefined, detail),
      alone: (work) => this.#inTurn(() => this.parts.alone(work)),
      takeOver: (...taken) => this.#inTurn(() => this.#takeOver(...taken)),
    });
  }

  readonly #takeOver: Desk['takeOver'] = async (ward, staff, { id, privateKey, deed, change, before }) => {
    const since = this.#closings;
    const row = staff.find((one) => one.id === id);
    if (!row || this.parts.sealer()) throw new AccessError('The records were sealed meanwhile.');
    const take: Change = async (tx) => {
      await tx.objectStore('desk').add(ward, 'ward');
      for (const one of staff) await tx.objectStore('staff').add(one, one.id);
      await change(tx);
    };
    await this.parts.alone(() => this.ledger.record(deed, take, fileStores, before ?? undefined));
    await this.parts.begin();
    await this.#open(
      row,
      privateKey,
      { who: id, what: id === envelope ? 'emergency-opened' : 'opened' },
      since,
    );
  };

  #tried(id: string, secret: string): Promise<{ row: Row; privateKey: Bytes }> {
    const { database, ledger } = this;
    return tryToOpen({ db: database.db, ledger, people: this.#people, now: this.parts.now }, id, secret);
  }

  /** The secret of whoever has opened, once more. */
  #again(secret: string): Promise<{ row: Row; privateKey: Bytes }> {
    const { id } = this.#opened();
    return this.#tried(id, id === envelope ? readCode(secret) : secret).then(async (tried) => {
      await this.ledger.write((tx) => tx.objectStore('staff').put(tried.row, id));
      return tried;
    });
  }

  /** @returns false: it was closed meanwhile, and stays closed */
  async #open({ id, name }: Row, privateKey: Bytes, deed: Deed, since: number): Promise<boolean> {
    const forget: Change = async (tx) => {
      const stored = (await tx.objectStore('staff').get(id)) as Row;
      await tx.objectStore('staff').put({ ...stored, failures: none }, id);
    };
    if (since !== this.#closings) {
      await this.ledger.write(forget);
      return false;
    }
    await this.ledger.record(deed, forget);
    if (!(await this.#hold(privateKey, since))) {
      await this.ledger.record({ who: deed.who, what: 'closed', detail: 'while it opened' });
      return false;
    }
    this.#session = { id, name };
    return true;
  }

  /** Has the private key at hand, unless it was closed meanwhile: then @returns false */
  async #hold(privateKey: Bytes, since: number): Promise<boolean> {
    await this.parts.sealer()?.open(privateKey);
    const wanted = since === this.#closings;
    if (!wanted) this.parts.sealer()?.close();
    return wanted;
  }

  #opened(): Session {
    if (!this.#session) throw new AccessError('The records are closed. Open them first.');
    return this.#session;
  }

  #deed(what: Deed['what'], more: { visit?: string | undefined; detail?: string | undefined } = {}): Deed {
    const { visit, detail } = more;
    return { who: this.#opened().id, what, ...(visit ? { visit } : {}), ...(detail ? { detail } : {}) };
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const mine = this.#turn.then(work);
    this.#turn = mine.catch(() => undefined);
    return mine.catch((cause: unknown) => {
      throw cause instanceof AccessError || cause instanceof StoreError ? cause : toStoreError(cause);
    });
  }
}

const closedMeanwhile = () => new AccessError('The records were closed meanwhile. Open them again.');
