import { type Bytes, seal } from '../seal/box';
import { about, type BackupRecord, form, type Head, hex, joined, magic, sha256, uint32 } from './format';
import { pack } from './pack';

/** A part is closed when it is as long. */
const enough = 1 << 20;

/**
 * One file of all these records. No more than a part of it is held at a time: the browser keeps what is done.
 * @returns the file, and the hash at its end, hexadecimal
 */
export async function writeBackup(
  head: Head,
  key: CryptoKey,
  records: AsyncIterable<BackupRecord>,
): Promise<{ file: Blob; hash: string }> {
  const packed = pack(head);
  const opening = joined(magic, uint32(form), uint32(packed.length), packed);
  const bound = await sha256(opening);
  const pieces: Blob[] = [new Blob([opening])];
  const hashes: Bytes[] = [];
  const put = async (part: Uint8Array[], last: boolean) => {
    const sealed = await seal(key, joined(...part), about(bound, hashes.length, last));
    const hash = await sha256(sealed);
    hashes.push(hash);
    pieces.push(new Blob([uint32(sealed.length), hash, sealed]));
  };
  let part: Uint8Array[] = [];
  let length = 0;
  for await (const record of records) {
    const one = pack(record);
    if (length > 0 && length + one.length > enough) {
      await put(part, false);
      [part, length] = [[], 0];
    }
    part.push(uint32(one.length), one);
    length += 4 + one.length;
  }
  await put(part, true);
  const hash = await sha256(joined(opening, ...hashes));
  const file = new Blob([...pieces, uint32(0), hash], { type: 'application/octet-stream' });
  return { file, hash: hex(hash) };
}
