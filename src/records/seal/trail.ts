import * as z from 'zod/mini';
import { whyNot } from '../rows';

/*
 * Who did what with the records. Each entry holds the hash of the one before, so that one that was changed, taken out
 * or put in shows. No names of learners, no words of a visit.
 *
 * What it cannot show: somebody who may write to the disk of the device and makes the whole chain anew. The hash of
 * the newest entry of an exported file, kept elsewhere, does.
 */

export const deeds = [
  'set-up',
  'opened',
  'emergency-opened',
  'failed',
  'locked',
  'closed',
  'read',
  'went-on',
  'printed',
  'copied',
  'exported',
  'decided-otherwise',
  'answered',
  'seen-later',
  'signed',
  'filed-by-hand',
  'staff-added',
  'staff-removed',
  'staff-let-in',
  'secret-changed',
  'code-renewed',
  'key-exchanged',
  'trail-exported',
  'server-listed',
  'server-read',
  'ward-read',
  'ward-saved',
  'sample-loaded',
  'sample-erased',
  'patient-confirmed',
  'patient-refused',
  'backed-up',
  'restored',
  'erased',
  'expired',
  'clock-confirmed',
] as const;

const entrySchema = z.strictObject({
  /** 0, 1, 2 ... without gaps. */
  seq: z.int(),
  at: z.iso.datetime(),
  /** Id of the staff; as it was typed for one that is not known. */
  who: z.string(),
  what: z.enum(deeds),
  visit: z.optional(z.string()),
  detail: z.optional(z.string()),
  /** Hash of the entry before; of the first: 64 times 0. */
  before: z.string(),
  /** SHA-256, hexadecimal, of all the rest. */
  hash: z.string(),
});
export type Entry = z.infer<typeof entrySchema>;
export type Deed = Pick<Entry, 'who' | 'what' | 'visit' | 'detail'>;

export const headSchema = z.strictObject({ seq: z.int(), hash: z.string() });
/** The newest entry; null: there is none. */
export type Head = z.infer<typeof headSchema> | null;

const first = '0'.repeat(64);
/** No trail comes near; what lies behind it is none of its entries. */
const mostSeqs = 1e9;

async function hashOf({ seq, at, who, what, visit, detail, before }: Omit<Entry, 'hash'>): Promise<string> {
  const text = JSON.stringify([seq, at, who, what, visit ?? null, detail ?? null, before]);
  const hash = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text));
  return [...new Uint8Array(hash)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

export async function entryAfter(head: Head, at: string, deed: Deed): Promise<Entry> {
  const entry = { seq: (head?.seq ?? -1) + 1, at, ...deed, before: head?.hash ?? first };
  return { ...entry, hash: await hashOf(entry) };
}

/**
 * What the next entry follows. Where the newest one is not what was noted, for whatever reason, staff get in all the
 * same, and the entry that comes next follows none, which shows from then on.
 * @param head as stored
 * @param seqs under which entries lie
 */
export function endOf(head: unknown, seqs: readonly IDBValidKey[]): Head {
  const noted = headSchema.safeParse(head).data ?? null;
  const last = Math.max(
    -1,
    ...seqs.filter((seq): seq is number => Number.isSafeInteger(seq) && (seq as number) < mostSeqs),
  );
  if (noted && noted.seq >= last) return noted;
  return last < 0 ? null : { seq: last, hash: first };
}

/** @returns the entries that can be read, and what is the matter with the chain, for staff; null: nothing */
export async function readTrail(
  rows: readonly unknown[],
  head: unknown,
): Promise<{ entries: Entry[]; broken: string | null }> {
  const entries: Entry[] = [];
  const wrong: string[] = [];
  let before: Head = null;
  for (const [index, row] of rows.entries()) {
    const read = entrySchema.safeParse(row);
    if (!read.success) {
      wrong.push(`entry ${index} cannot be read (${whyNot(read.error)})`);
      continue;
    }
    const entry = read.data;
    entries.push(entry);
    const next: number = (before?.seq ?? -1) + 1;
    if (entry.seq !== next) wrong.push(`entry ${next} is missing`);
    else if (entry.before !== (before?.hash ?? first))
      wrong.push(`entry ${entry.seq} does not follow the one before`);
    if (entry.hash !== (await hashOf(entry))) wrong.push(`entry ${entry.seq} was changed`);
    before = { seq: entry.seq, hash: entry.hash };
  }
  const newest = headSchema.safeParse(head).data ?? null;
  if (newest?.hash !== before?.hash) wrong.push('the newest entries are missing');
  return { entries, broken: wrong.length > 0 ? wrong.slice(0, 3).join('; ') : null };
}
