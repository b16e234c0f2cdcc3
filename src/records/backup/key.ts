import type { Bytes } from '../seal/box';

/**
 * The key of one file, made of the private key of the ward: HKDF with SHA-256 (RFC 5869). So whoever has no secret of
 * the ward's staff, nor the code of the envelope, can neither read such a file nor change or make one; the public key,
 * which lies open on every kiosk, is not enough for that.
 * @param salt another one for each file
 */
export async function fileKey(privateKey: Bytes, salt: Bytes): Promise<CryptoKey> {
  const from = await crypto.subtle.importKey('raw', privateKey, 'HKDF', false, ['deriveKey']);
  const how = { name: 'HKDF', hash: 'SHA-256', salt, info: new TextEncoder().encode('ownwords backup 1') };
  return crypto.subtle.deriveKey(how, from, { name: 'AES-GCM', length: 256 }, false, ['encrypt', 'decrypt']);
}
