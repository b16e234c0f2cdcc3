import { createHash } from 'node:crypto';

/** In place of Argon2id where it is only in the way: as many bytes, from the same things. */
export async function argon2id({
  password,
  salt,
}: {
  password: string;
  salt: Uint8Array;
}): Promise<Uint8Array> {
  return createHash('sha256').update(salt).update(password).digest();
}
