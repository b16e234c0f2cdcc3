import type { IDBPDatabase } from 'idb';
import * as z from 'zod/mini';
import type { Disk } from '../migrations';
import type { Bytes } from './box';
import { AccessError } from './errors';
import { failuresSchema, lockAt, none } from './failures';
import { lockedSchema, lockWith, newCode, readCode, weakness } from './secret';

/** Somebody who may open the records. */
export interface Person {
  id: string;
  name: string;
  /** Let in by others of the staff only. */
  locked: boolean;
  /** null, or, where the entry cannot be read, what to do about it. */
  unreadable: string | null;
}

export interface NewPerson {
  id: string;
  name: string;
  secret: string;
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
export const envelope = '!';
const idPattern = /^[a-z0-9][a-z0-9._-]{1,31}$/;

/** An id as it was typed. */
export const tidy = (id: string) => id.trim().toLowerCase();

/** A name as it is kept. */
export const nameAs = (typed: string) => typed.trim().slice(0, 80);

/** Rows of those who may open, each with the private key of the ward under their secret. Writes nothing. */
export class People {
  constructor(
    private readonly db: IDBPDatabase<Disk>,
    private readonly now: () => string,
  ) {}

  /** null: there is none. Rejects when it cannot be read. */
  async row(id: string): Promise<Row | null> {
    const found: unknown = await this.db.get('staff', id);
    const read = rowSchema.safeParse(found);
    if (found !== undefined && read.data?.id !== id)
      throw new AccessError('The entry of this id cannot be read.');
    return read.data ?? null;
  }

  /** By id, that of the envelope too; null: it cannot be read. */
  async #lying(): Promise<[id: string, row: Row | null][]> {
    const { store } = this.db.transaction('staff');
    const [ids, rows] = await Promise.all([store.getAllKeys(), store.getAll()]);
    return ids.map((id, at) => {
      const row = rowSchema.safeParse(rows[at]).data;
      return [id, row?.id === id ? row : null];
    });
  }

  /** That of the envelope too; without those that cannot be read. */
  async rows(): Promise<Row[]> {
    return (await this.#lying()).flatMap(([, row]) => row ?? []);
  }

  /** Sorted by id; that of the envelope only where it cannot be read. */
  async all(): Promise<Person[]> {
    return (await this.#lying()).flatMap(([id, row]): Person[] => {
      if (row && id === envelope) return [];
      if (row) return [{ id, name: row.name, locked: row.failures.count >= lockAt, unreadable: null }];
      const remedy = id === envelope ? 'renew the code in the envelope' : 'remove it, then add it anew';
      return [{ id, name: '', locked: false, unreadable: `cannot be read: ${remedy}` }];
    });
  }

  /** Rejects, with the reason for staff, what is no id, no name or no good secret. */
  async newRow({ id, name, secret }: NewPerson, privateKey: Bytes): Promise<Row> {
    const short = tidy(id);
    if (!idPattern.test(short))
      throw new AccessError('An id has 2 to 32 small letters, digits, dots or dashes.');
    if (!name.trim()) throw new AccessError('Write the name that belongs to the id.');
    const weak = weakness(secret, short, name.trim());
    if (weak) throw new AccessError(weak);
    const locked = await lockWith(secret, privateKey, short);
    return { id: short, name: nameAs(name), since: this.now(), failures: none, locked };
  }

  /** A code for the envelope, which is kept nowhere, and its row. */
  async newCode(privateKey: Bytes): Promise<{ code: string; row: Row }> {
    const code = newCode();
    const locked = await lockWith(readCode(code), privateKey, envelope);
    return { code, row: { id: envelope, name: 'Envelope', since: this.now(), failures: none, locked } };
  }
}
