import * as z from 'zod/mini';
import { type Bytes, newKey } from './box';

/*
 * The key of the ward: anybody may seal with its public half, which lies open on the device; its private half lies
 * there only under the secrets of staff.
 *
 * RSA-OAEP with SHA-256 and 3072 bits (as strong as 128 bits: NIST SP 800-57 part 1, table 2). WebCrypto wraps a key
 * with it in one call and binds it to a visit by the label, where an agreement over P-256 would want a second key, a
 * derivation and a format of our own. It costs 384 bytes a visit.
 */

const algorithm = { name: 'RSA-OAEP', hash: 'SHA-256' };
const exponent = new Uint8Array([1, 0, 1]);
const labelled = (visit: string) => ({ ...algorithm, label: new TextEncoder().encode(`visit ${visit}`) });

export const wardRowSchema = z.strictObject({
  publicKey: z.instanceof(Uint8Array<ArrayBuffer>),
  since: z.iso.datetime(),
});
export type WardRow = z.infer<typeof wardRowSchema>;

/** A new pair, both halves as bytes (SubjectPublicKeyInfo, PKCS 8). */
export async function newWard(): Promise<{ publicKey: Bytes; privateKey: Bytes }> {
  const pair = await crypto.subtle.generateKey(
    { ...algorithm, modulusLength: 3072, publicExponent: exponent },
    true,
    ['wrapKey', 'unwrapKey'],
  );
  const [publicKey, privateKey] = await Promise.all([
    crypto.subtle.exportKey('spki', pair.publicKey),
    crypto.subtle.exportKey('pkcs8', pair.privateKey),
  ]);
  return { publicKey: new Uint8Array(publicKey), privateKey: new Uint8Array(privateKey) };
}

export const publicKeyOf = (bytes: Bytes): Promise<CryptoKey> =>
  crypto.subtle.importKey('spki', bytes, algorithm, false, ['wrapKey']);

/** Cannot be taken out again. */
export const privateKeyOf = (bytes: Bytes): Promise<CryptoKey> =>
  crypto.subtle.importKey('pkcs8', bytes, algorithm, false, ['unwrapKey']);

/** A data key for a visit, and the same wrapped. */
export async function newVisitKey(
  publicKey: CryptoKey,
  visit: string,
): Promise<{ key: CryptoKey; wrapped: Bytes }> {
  const key = await newKey();
  return { key, wrapped: await wrap(publicKey, key, visit) };
}

export const wrap = async (publicKey: CryptoKey, key: CryptoKey, visit: string): Promise<Bytes> =>
  new Uint8Array(await crypto.subtle.wrapKey('raw', key, publicKey, labelled(visit)));

/** null: wrapped to another ward or for another visit, or changed. */
export function unwrap(privateKey: CryptoKey, wrapped: Bytes, visit: string): Promise<CryptoKey | null> {
  return crypto.subtle
    .unwrapKey('raw', wrapped, privateKey, labelled(visit), 'AES-GCM', true, ['encrypt', 'decrypt'])
    .catch(() => null);
}

/** @returns the key of a visit, wrapped to another ward; one that does not open stays as it is, for whoever can mend it */
export async function rewrap(
  from: CryptoKey,
  to: CryptoKey,
  wrapped: unknown,
  visit: string,
): Promise<unknown> {
  const key = wrapped instanceof Uint8Array ? await unwrap(from, wrapped as Bytes, visit) : null;
  return key ? wrap(to, key, visit) : wrapped;
}
