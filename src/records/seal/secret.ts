import { argon2id } from 'hash-wasm';
import * as z from 'zod/mini';
import { type Bytes, keyOf, seal, unseal } from './box';
import { shortest } from './secret-rules';

/*
 * A secret of staff and what lies under it. Whoever takes the device away can try secrets as fast as machines go, and
 * no counter of ours stands in the way then: so each try is made dear, and a secret is long.
 */

/** OWASP Password Storage Cheat Sheet, Argon2id: at least 19 MiB, 2 passes, 1 lane. Kept with each secret. */
const cost = { memoryKiB: 19_456, passes: 2, lanes: 1 };

export const lockedSchema = z.strictObject({
  salt: z.instanceof(Uint8Array<ArrayBuffer>),
  memoryKiB: z.int().check(z.gte(8), z.lte(1_048_576)),
  passes: z.int().check(z.gte(1), z.lte(100)),
  lanes: z.int().check(z.gte(1), z.lte(16)),
  bytes: z.instanceof(Uint8Array<ArrayBuffer>),
});
export type Locked = z.infer<typeof lockedSchema>;

async function keyFrom(secret: string, { salt, memoryKiB, passes, lanes }: Omit<Locked, 'bytes'>) {
  const raw = await argon2id({
    // The same letters may be typed in several ways.
    password: secret.normalize('NFKC'),
    salt,
    memorySize: memoryKiB,
    iterations: passes,
    parallelism: lanes,
    hashLength: 32,
    outputType: 'binary',
  });
  return keyOf(new Uint8Array(raw));
}

/** @param about whose it is: under another name it does not open */
export async function lockWith(secret: string, bytes: Bytes, about: string): Promise<Locked> {
  const how = { salt: crypto.getRandomValues(new Uint8Array(16)), ...cost };
  return { ...how, bytes: await seal(await keyFrom(secret, how), bytes, `secret of ${about}`) };
}

/** null: not this secret. Nothing of it or of the bytes is told. */
export async function openWith(secret: string, locked: Locked, about: string): Promise<Bytes | null> {
  return unseal(await keyFrom(secret, locked), locked.bytes, `secret of ${about}`);
}

/** What is the matter with a secret somebody chose, for staff; null: nothing. */
export function weakness(secret: string, id: string, name: string): string | null {
  const letters = [...secret.normalize('NFKC')];
  if (letters.length < shortest)
    return `Take at least ${shortest} characters: four or five words that have nothing to do with each other.`;
  if (letters.length > 200) return 'Take at most 200 characters.';
  if (new Set(letters).size < 6) return 'Take more different letters.';
  const plain = secret.toLowerCase();
  if ([id, name].some((own) => own.length > 2 && plain.includes(own.toLowerCase())))
    return 'Take a secret without your id and your name.';
  return null;
}

/** 32 signs without those that are taken for another (Crockford). */
const signs = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

/** 130 random bits to be printed and put into an envelope, in groups of five. */
export function newCode(): string {
  const all = [...crypto.getRandomValues(new Uint8Array(26))].map((byte) => signs[byte % 32]).join('');
  return all.replace(/(.{5})(?=.)/g, '$1-');
}

/** A code as somebody typed it. */
export const readCode = (typed: string): string =>
  typed
    .toUpperCase()
    .replaceAll('O', '0')
    .replace(/[IL]/g, '1')
    .replace(/[^0-9A-Z]/g, '');
