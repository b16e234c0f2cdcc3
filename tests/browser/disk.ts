import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/*
 * Looks through all files of a browser's profile as somebody would who took the device away: bytes as they lie, and
 * what the tables of LevelDB, in which Chromium keeps IndexedDB, hold when their blocks are unpacked.
 */

/** Where the bytes of a file, or of a block of a table, are. */
interface Piece {
  at: string;
  bytes: Buffer;
}

function* files(folder: string): Generator<string> {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) yield* files(path);
    else if (entry.isFile()) yield path;
  }
}

function varint(bytes: Buffer, from: number): [value: number, next: number] {
  let value = 0;
  let at = from;
  for (let shift = 0; ; shift += 7) {
    const byte = bytes.readUInt8(at++);
    value += (byte & 127) * 2 ** shift;
    if (byte < 128) return [value, at];
  }
}

/** github.com/google/snappy, format_description.txt. */
export function unsnap(packed: Buffer): Buffer {
  const [length, start] = varint(packed, 0);
  const out = Buffer.alloc(length);
  let to = 0;
  let at = start;
  while (at < packed.length) {
    const tag = packed.readUInt8(at++);
    let size = tag >> 2;
    if ((tag & 3) === 0) {
      if (size >= 60) {
        const more = size - 59;
        size = packed.readUIntLE(at, more);
        at += more;
      }
      packed.copy(out, to, at, at + size + 1);
      at += size + 1;
      to += size + 1;
      continue;
    }
    let back: number;
    if ((tag & 3) === 1) {
      back = ((tag >> 5) << 8) + packed.readUInt8(at++);
      size = (size & 7) + 3;
    } else {
      const more = (tag & 3) === 2 ? 2 : 4;
      back = packed.readUIntLE(at, more);
      at += more;
    }
    for (let end = to + size + 1; to < end; to++) out[to] = out.readUInt8(to - back);
  }
  return out;
}

/** Blocks of a table: github.com/google/leveldb, doc/table_format.md. */
function tableBlocks(table: Buffer): Buffer[] {
  const block = (offset: number, size: number) => {
    const bytes = table.subarray(offset, offset + size);
    return table.readUInt8(offset + size) === 1 ? unsnap(bytes) : bytes;
  };
  const footer = table.subarray(-48);
  // Two handles: of the block about blocks, and of the index.
  const [, a] = varint(footer, 0);
  const [, b] = varint(footer, a);
  const [offset, c] = varint(footer, b);
  const [size] = varint(footer, c);
  const index = block(offset, size);
  const blocks: Buffer[] = [];
  const end = index.length - 4 - 4 * index.readUInt32LE(index.length - 4);
  for (let at = 0; at < end; ) {
    const [, own] = varint(index, at);
    const [keyLength, value] = varint(index, own);
    const [valueLength, key] = varint(index, value);
    const handle = index.subarray(key + keyLength, key + keyLength + valueLength);
    const [from, next] = varint(handle, 0);
    blocks.push(block(from, varint(handle, next)[0]));
    at = key + keyLength + valueLength;
  }
  return blocks;
}

/** All that lies in a folder. */
export function pieces(folder: string): Piece[] {
  return [...files(folder)].flatMap((path) => {
    const at = path.slice(folder.length + 1);
    const bytes = readFileSync(path);
    if (!path.endsWith('.ldb')) return [{ at, bytes }];
    return [{ at, bytes }, ...tableBlocks(bytes).map((block) => ({ at: `${at}, unpacked`, bytes: block }))];
  });
}

/** Files that hold one of these, as UTF-8 or UTF-16, or as bytes. */
export function found(all: readonly Piece[], wanted: readonly (string | Buffer)[]): string[] {
  const needles = wanted.flatMap((one) =>
    typeof one === 'string' ? [Buffer.from(one, 'utf8'), Buffer.from(one, 'utf16le')] : [one],
  );
  return [
    ...new Set(
      all.filter(({ bytes }) => needles.some((needle) => bytes.includes(needle))).map(({ at }) => at),
    ),
  ];
}
