import * as z from 'zod/mini';
import type { Reading, Writing } from '../database';
import { StoreError } from '../errors';
import { type Bytes, seal, unseal } from '../seal/box';
import type { Sealer } from '../seal/sealer';
import { fromBytes, toBytes } from './coding';
import type { Digest } from './digest';

/*
 * Where digests lie: in pieces of some hundred visits, each sealed with a data key of its own, which is wrapped to the
 * key of the ward as those of visits are. Which visits are in a piece can be read, as can the list of visits: so one
 * that is erased takes its piece along while nobody has opened. What is lost so is made anew.
 */

export interface Piece {
  key: number;
  digests: Digest[];
}

export interface DigestShelf {
  /**
   * The pieces that can be read, and the keys of those that cannot, which the next `put` may take away.
   * Throws 'sealed' while nobody has opened.
   */
  pieces(basis: string): Promise<{ pieces: Piece[]; bad: number[] }>;
  /** Stores a piece in place of others, in one step. Refused when one of its visits was erased meanwhile. */
  put(basis: string, digests: readonly Digest[], instead: readonly number[]): Promise<void>;
}

const rowSchema = z.strictObject({
  visits: z.array(z.string()),
  /** null: it lies open, as the visits do. */
  key: z.nullable(z.instanceof(Uint8Array<ArrayBuffer>)),
  bytes: z.instanceof(Uint8Array<ArrayBuffer>),
});

const label = 'digest';
const about = (visits: readonly string[]) => JSON.stringify([label, 1, visits]);

interface Parts {
  /** null: the ward has no key. */
  sealer: () => Sealer | null;
  read<T>(work: (tx: Reading) => Promise<T>): Promise<T>;
  write<T>(work: (tx: Writing) => Promise<T>): Promise<T>;
}

export function diskShelf({ sealer, read, write }: Parts): DigestShelf {
  const open = async (row: z.infer<typeof rowSchema>): Promise<Bytes | null> => {
    const ward = sealer();
    // What lies open beside sealed visits was left there.
    if (!row.key || !ward) return row.key || ward ? null : row.bytes;
    const key = await ward.keyFor(label, row.key).catch((cause: unknown) => {
      if (cause instanceof StoreError && cause.code === 'sealed') throw cause;
      return null;
    });
    return key && unseal(key, row.bytes, about(row.visits));
  };
  return {
    async pieces(basis) {
      const [keys, rows] = await read((tx) => {
        const store = tx.objectStore('digests');
        return Promise.all([store.getAllKeys(), store.getAll()]);
      });
      const found = await Promise.all(
        rows.map(async (row, index) => {
          const good = rowSchema.safeParse(row);
          const bytes = good.success ? await open(good.data) : null;
          return { key: keys[index]!, digests: bytes && fromBytes(basis, bytes) };
        }),
      );
      return {
        pieces: found.flatMap(({ key, digests }) => (digests ? { key, digests } : [])),
        bad: found.flatMap(({ key, digests }) => (digests ? [] : key)),
      };
    },
    async put(basis, digests, instead) {
      const visits = digests.map(({ visit }) => visit);
      const bytes = toBytes(basis, digests);
      const made = await sealer()?.newKey(label);
      const row = made
        ? { visits, key: made.wrapped, bytes: await seal(made.key, bytes, about(visits)) }
        : { visits, key: null, bytes };
      await write(async (tx) => {
        const store = tx.objectStore('digests');
        const there = await Promise.all(visits.map((visit) => tx.objectStore('visits').getKey(visit)));
        if (there.includes(undefined))
          throw new StoreError('invalid', 'a digest of a visit that is not here');
        if (digests.length > 0) await store.add(row);
        await Promise.all(instead.map((key) => store.delete(key)));
      });
    },
  };
}
