/*
 * Sealed bytes: AES-256 in Galois/Counter Mode with a random nonce of 96 bits before the text and a tag of 128 bits
 * behind it (NIST SP 800-38D). One key a visit: some hundreds of nonces, where 2^32 are allowed.
 */

export type Bytes = Uint8Array<ArrayBuffer>;

const nonceLength = 12;
const algorithm = (nonce: Bytes, about: string) => ({
  name: 'AES-GCM',
  iv: nonce,
  additionalData: new TextEncoder().encode(about),
});

/** A new data key. It can be taken out, to be wrapped. */
export const newKey = (): Promise<CryptoKey> =>
  crypto.subtle.generateKey({ name: 'AES-GCM', length: 256 }, true, ['encrypt', 'decrypt']);

/** @param raw 32 bytes */
export const keyOf = (raw: Bytes): Promise<CryptoKey> =>
  crypto.subtle.importKey('raw', raw, 'AES-GCM', true, ['encrypt', 'decrypt']);

export const rawOf = async (key: CryptoKey): Promise<Bytes> =>
  new Uint8Array(await crypto.subtle.exportKey('raw', key));

/** @param about what the bytes are and where they belong: opened elsewhere they do not open */
export async function seal(key: CryptoKey, bytes: Bytes, about: string): Promise<Bytes> {
  const nonce = crypto.getRandomValues(new Uint8Array(nonceLength));
  const text = new Uint8Array(await crypto.subtle.encrypt(algorithm(nonce, about), key, bytes));
  const sealed = new Uint8Array(nonce.length + text.length);
  sealed.set(nonce);
  sealed.set(text, nonce.length);
  return sealed;
}

/** null: another key, another place, or a changed byte. */
export async function unseal(key: CryptoKey, sealed: Bytes, about: string): Promise<Bytes | null> {
  const nonce = sealed.slice(0, nonceLength);
  return crypto.subtle.decrypt(algorithm(nonce, about), key, sealed.slice(nonceLength)).then(
    (text) => new Uint8Array(text),
    () => null,
  );
}
