import { whyNot } from '../rows';
import { type Bytes, unseal } from '../seal/box';
import { BackupError, byteAt } from './errors';
import {
  about,
  type BackupRecord,
  form,
  type Head,
  hashLength,
  headSchema,
  hex,
  joined,
  limits,
  magic,
  recordSchema,
  same,
  sha256,
} from './format';
import { unpack } from './pack';

/** A file whose hashes hold. That nobody made it anew is known only when its parts are opened. */
export interface Checked {
  file: Blob;
  head: Head;
  /** SHA-256 of all up to the end of the head. */
  bound: Bytes;
  /** Where the parts are. */
  parts: { at: number; length: number }[];
  /** The hash at the end, hexadecimal. */
  hash: string;
}

async function bytesAt(file: Blob, at: number, length: number): Promise<Bytes> {
  if (at + length > file.size)
    throw new BackupError('truncated', `This backup ends too early, at ${byteAt(file.size)}.`);
  try {
    return new Uint8Array(await file.slice(at, at + length).arrayBuffer());
  } catch (cause) {
    throw new BackupError('unreadable', `This file cannot be read at ${byteAt(at)} (${String(cause)}).`);
  }
}

const number = (four: Bytes): number => new DataView(four.buffer).getUint32(0);

/**
 * Reads a file through and checks its hashes; opens nothing.
 * @param schema number of migrations that are known here
 * @param onProgress told the share that is read, 0..1
 */
export async function checkBackup(
  file: Blob,
  schema: number,
  onProgress: (share: number) => void = () => {},
): Promise<Checked> {
  if (file.size === 0) throw new BackupError('foreign', 'This file is empty.');
  const begins = new Uint8Array(await file.slice(0, magic.length).arrayBuffer());
  if (!same(begins, magic.subarray(0, begins.length)))
    throw new BackupError('foreign', 'This is no backup of Ownwords: it begins with other bytes.');
  let at = magic.length;
  const version = number(await bytesAt(file, at, 4));
  if (version > form)
    throw new BackupError(
      'too-new',
      `This backup was saved by a newer Ownwords (form ${version}; form ${form} is read here).`,
    );
  if (version < 1) throw damaged(`its form is ${version}`, at);
  const headLength = number(await bytesAt(file, at + 4, 4));
  if (headLength > limits.head) throw damaged('the length of its head', at + 4);
  at += 8;
  const opening = await bytesAt(file, 0, at + headLength);
  const packed = opening.subarray(at);
  at += headLength;
  const parts: Checked['parts'] = [];
  const hashes: Bytes[] = [];
  for (;;) {
    const length = number(await bytesAt(file, at, 4));
    if (length === 0) break;
    if (length > limits.part) throw damaged(`the length of part ${parts.length + 1}`, at);
    const [hash, part] = [
      await bytesAt(file, at + 4, hashLength),
      await bytesAt(file, at + 4 + hashLength, length),
    ];
    if (!same(hash, await sha256(part))) throw damaged(`part ${parts.length + 1}`, at);
    at += 4 + hashLength;
    parts.push({ at, length });
    hashes.push(hash);
    at += length;
    onProgress(at / file.size);
  }
  const hash = await bytesAt(file, at + 4, hashLength);
  const end = at + 4 + hashLength;
  if (file.size > end) throw damaged('it goes on behind its end', end);
  if (!same(hash, await sha256(joined(opening, ...hashes))))
    throw damaged('its head, or the hash at its end', 0);
  // Only what is whole is read at all.
  const head = headOf(packed);
  if (head.schema > schema)
    throw new BackupError(
      'too-new',
      `The visits in this backup were stored by a newer Ownwords (version ${head.schema}; ${schema} is known here).`,
    );
  return { file, head, bound: await sha256(opening), parts, hash: hex(hash) };
}

const damaged = (what: string, at: number) =>
  new BackupError(
    'altered',
    `This backup was changed or damaged after it was saved: ${what}, at ${byteAt(at)}.`,
  );

function headOf(packed: Uint8Array): Head {
  let found: unknown;
  try {
    found = unpack(packed);
  } catch (cause) {
    throw new BackupError('misfit', `The head of this backup cannot be read: ${(cause as Error).message}.`);
  }
  const read = headSchema.safeParse(found);
  if (!read.success)
    throw new BackupError('misfit', `The head of this backup cannot be read: ${whyNot(read.error)}.`);
  return read.data;
}

/** All records in order, each checked. Throws with what and where; what came before is then not to be used either. */
export async function* recordsOf(
  { file, bound, parts }: Checked,
  key: CryptoKey,
  onProgress: (share: number) => void = () => {},
): AsyncGenerator<BackupRecord> {
  for (const [index, { at, length }] of parts.entries()) {
    const last = index === parts.length - 1;
    const plain = await unseal(key, await bytesAt(file, at, length), about(bound, index, last));
    const where = `part ${index + 1}`;
    if (!plain)
      throw new BackupError(
        'altered',
        `This backup was not made by this ward, or was changed: the seal of ${where} does not hold, at ${byteAt(at)}.`,
      );
    let from = 0;
    for (let count = 1; from < plain.length; count++) {
      const misfit = (why: string) =>
        new BackupError('misfit', `This backup cannot be read in ${where}, record ${count}: ${why}.`);
      if (plain.length - from < 4) throw misfit('it is cut off');
      const size = new DataView(plain.buffer, from).getUint32(0);
      if (size > plain.length - from - 4) throw misfit('it is cut off');
      let found: unknown;
      try {
        found = unpack(plain.subarray(from + 4, from + 4 + size));
      } catch (cause) {
        throw misfit((cause as Error).message);
      }
      const read = recordSchema.safeParse(found);
      if (!read.success) throw misfit(whyNot(read.error));
      yield read.data;
      from += 4 + size;
    }
    onProgress((at + length) / file.size);
  }
  if (parts.length === 0) throw new BackupError('altered', 'This backup has no parts.');
}
