import * as z from 'zod/mini';
import { clipSchema, outboxSchema, sealedRowSchema, setAsideSchema } from '../rows';
import type { Bytes } from '../seal/box';
import { lockedSchema } from '../seal/secret';

/*
 * A backup is one file:
 *
 *   16 bytes   "ownwords-backup" and a line end
 *    4 bytes   form of the file; all numbers are big-endian
 *    4 bytes   length of the head
 *    ...       head, packed (pack.ts): readable, but what it holds of secrets opens with them only
 *   for each part
 *    4 bytes   length of the part, not 0
 *   32 bytes   its SHA-256
 *    ...       the part, sealed with the key of the file (key.ts, seal/box.ts) and bound to the head, to its place and
 *              to whether it is the last: the length of a record (4 bytes) and the record, packed, time and again
 *    4 bytes   0
 *   32 bytes   SHA-256 of all up to the end of the head, and of the hashes of the parts
 *
 * Parts are about a megabyte, so that a file is written and checked as it streams by.
 */

export const magic: Bytes = new TextEncoder().encode('ownwords-backup\n');
export const form = 1;
export const limits = { head: 4 << 20, part: 64 << 20 };
export const hashLength = 32;

const bytes = z.instanceof(Uint8Array<ArrayBuffer>);

/** Somebody who may open, or the envelope: no dearer than a kiosk can bear, whoever wrote it. */
const openerSchema = z.strictObject({
  id: z.string(),
  locked: z.extend(lockedSchema, {
    memoryKiB: z.int().check(z.gte(8), z.lte(262_144)),
    passes: z.int().check(z.gte(1), z.lte(10)),
  }),
});

export const headSchema = z.strictObject({
  at: z.iso.datetime(),
  /** Of the database that the rows come from: the number of its migrations. */
  schema: z.int(),
  salt: bytes,
  ward: z.strictObject({ publicKey: bytes, since: z.iso.datetime() }),
  people: z.array(openerSchema),
});
export type Head = z.infer<typeof headSchema>;

const record = <K extends string, S extends z.core.$ZodLooseShape>(kind: K, shape: S) =>
  z.strictObject({ kind: z.literal(kind), ...shape });

export const recordSchema = z.discriminatedUnion('kind', [
  record('person', { id: z.string(), name: z.string(), since: z.iso.datetime() }),
  record('trail', { seq: z.int().check(z.gte(0)), row: z.unknown() }),
  record('trail-head', { seq: z.int().check(z.gte(0)), hash: z.string() }),
  record('visit', {
    visit: z.uuid(),
    /** Its data key, wrapped to the key of the ward; `noKey`: it was lost. */
    key: bytes,
    /** Number the next event gets: those of events that were set aside are not given twice. */
    next: z.int().check(z.gte(0)),
    events: z.array(sealedRowSchema),
    outbox: z.nullable(outboxSchema),
  }),
  record('set-aside', { row: setAsideSchema }),
  record('clip', { clip: clipSchema }),
]);
export type BackupRecord = z.infer<typeof recordSchema>;
export type VisitInFile = Extract<BackupRecord, { kind: 'visit' }>;

export const noKey: Bytes = new Uint8Array(0);

export const sha256 = async (all: Bytes): Promise<Bytes> =>
  new Uint8Array(await crypto.subtle.digest('SHA-256', all));

export const hex = (all: Uint8Array): string =>
  [...all].map((byte) => byte.toString(16).padStart(2, '0')).join('');

export const same = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, at) => byte === b[at]);

export function joined(...all: Uint8Array[]): Bytes {
  const result = new Uint8Array(all.reduce((sum, one) => sum + one.length, 0));
  let at = 0;
  for (const one of all) {
    result.set(one, at);
    at += one.length;
  }
  return result;
}

export function uint32(n: number): Bytes {
  const four = new Uint8Array(4);
  new DataView(four.buffer).setUint32(0, n);
  return four;
}

/** What a part is bound to. */
export const about = (head: Bytes, index: number, last: boolean): string =>
  JSON.stringify(['backup', form, hex(head), index, last]);
