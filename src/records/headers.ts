import type { Reading } from './database';
import {
  aside,
  type EventKey,
  headerAfter,
  headerSchema,
  readEvent,
  type SealedRow,
  type SpoiltRow,
  setAsideSchema,
  whyNot,
} from './rows';
import { seqLimit } from './schema';
import type { VisitEvent, VisitHeader } from './types';

/*
 * Headers of visits as they are read back: as stored where they are sound, else made anew from the log. Nothing here
 * writes.
 */

// An array sorts behind every string and number, so this range holds whatever was filed under the visit.
export const everyEventOf = (visit: string) => IDBKeyRange.bound([visit], [visit, []]);
const numberedEventsOf = (visit: string) => IDBKeyRange.bound([visit, 0], [visit, seqLimit], false, true);

/** A row that cannot stand where it stands. */
export interface BadRow {
  key: IDBValidKey;
  found: SpoiltRow;
}

/** The rows of a visit, and those that cannot be read as events. */
export async function rowsOf(tx: Reading, visit: string, now: () => string) {
  const store = tx.objectStore('events');
  const [keys, rows] = await Promise.all([
    store.getAllKeys(everyEventOf(visit)),
    store.getAll(everyEventOf(visit)),
  ]);
  const good: (VisitEvent | SealedRow)[] = [];
  const bad: BadRow[] = [];
  keys.forEach((key, index) => {
    const row = rows[index];
    const read = readEvent(key, row);
    if ('event' in read) good.push(read.event);
    else bad.push({ key, found: aside('events', key, row, read.why, now()) });
  });
  return { good, bad, keys };
}

/** `why` says what is the matter with the stored one; null: nothing. */
export async function headerOf(
  tx: Reading,
  visit: string,
  now: () => string,
): Promise<{ header: VisitHeader | null; why: string | null; bad: BadRow[] }> {
  const row = await tx.objectStore('visits').get(visit);
  // A row may be there and hold nothing.
  const there = row !== undefined || (await tx.objectStore('visits').getKey(visit)) !== undefined;
  const last = await tx.objectStore('events').openKeyCursor(numberedEventsOf(visit), 'prev');
  const read = headerSchema.safeParse(row);
  if (read.success && read.data.visit === visit && read.data.next > (last?.key[1] ?? -1)) {
    return { header: read.data, why: null, bad: [] };
  }
  const { good, bad, keys } = await rowsOf(tx, visit, now);
  const rebuilt = headerAfter(null, good);
  if (!there && !rebuilt) return { header: null, why: null, bad };
  const why = !there ? 'missing' : read.success ? 'does not match the log' : whyNot(read.error);
  if (!rebuilt) return { header: null, why, bad };
  const taken = keys.map(([, seq]) => (seq < seqLimit ? Math.floor(seq) + 1 : 0));
  // Numbers of events that were set aside are not given twice.
  for (const before of await tx.objectStore('set-aside').index('visit').getAll(visit)) {
    const seq = /^event (\d+)$/.exec(setAsideSchema.safeParse(before).data?.where ?? '')?.[1];
    if (Number(seq) < seqLimit) taken.push(Number(seq) + 1);
  }
  return { header: { ...rebuilt, next: Math.max(rebuilt.next, ...taken) }, why, bad };
}

/**
 * The header as stored, where it does not tell how far the visit is signed; else null.
 * @param read so many entries of its log were read; null as well where it has another number of them
 */
export async function headerWithoutSign(
  tx: Reading,
  visit: string,
  read: number,
): Promise<VisitHeader | null> {
  const header = headerSchema.safeParse(await tx.objectStore('visits').get(visit)).data;
  if (!header || header.signed !== undefined) return null;
  return (await tx.objectStore('events').count(everyEventOf(visit))) === read ? header : null;
}

/**
 * All headers, in no order.
 * @param withLog looks for events that no header knows of as well: one request a visit, all at once
 * @returns in `amiss` the visits whose headers have to be mended; they are among `headers` as they will be. In `bad`
 *   what belongs to no visit.
 */
export async function headersOf(
  tx: Reading,
  now: () => string,
  withLog: boolean,
): Promise<{ headers: VisitHeader[]; amiss: string[]; bad: BadRow[] }> {
  const store = tx.objectStore('visits');
  const [keys, rows] = await Promise.all([store.getAllKeys(), store.getAll()]);
  const headers = new Map<string, VisitHeader>();
  const doubtful = new Set<string>();
  const bad: BadRow[] = [];
  keys.forEach((key, index) => {
    const read = headerSchema.safeParse(rows[index]);
    if (read.success && read.data.visit === key) headers.set(key, read.data);
    else if (typeof key === 'string') doubtful.add(key);
    else bad.push({ key, found: aside('visits', key, rows[index], 'filed under no visit', now()) });
  });
  if (withLog) {
    const stray = await strayVisits(tx, [...headers.values()]);
    for (const visit of stray.visits) doubtful.add(visit);
    for (const key of stray.keys) {
      const row = await tx.objectStore('events').get(key as EventKey);
      bad.push({ key, found: aside('events', key, row, 'filed under no visit', now()) });
    }
  }
  const amiss: string[] = [];
  for (const visit of doubtful) {
    const { header, why, bad: unread } = await headerOf(tx, visit, now);
    if (why !== null) amiss.push(visit);
    if (header) headers.set(visit, header);
    else {
      // Where nothing of a log can be read there is no visit that would show it.
      headers.delete(visit);
      bad.push(...unread);
    }
  }
  return { headers: [...headers.values()], amiss, bad };
}

/**
 * Visits with events that none of these headers, sorted by visit as the store sorts them, knows of, and keys that are
 * those of no visit.
 */
async function strayVisits(
  tx: Reading,
  headers: VisitHeader[],
): Promise<{ visits: Set<string>; keys: IDBValidKey[] }> {
  const events = tx.objectStore('events');
  // From the number that comes next in one visit to the beginning of the one after, nothing should lie.
  const gaps = [null, ...headers].map((before, index) => {
    const after = headers[index];
    const from = before && [before.visit, before.next];
    if (from && after) return IDBKeyRange.bound(from, [after.visit], false, true);
    if (from) return IDBKeyRange.lowerBound(from);
    // Numbers are the lowest of all keys.
    return after ? IDBKeyRange.upperBound([after.visit], true) : IDBKeyRange.lowerBound(-Infinity);
  });
  const found = await Promise.all(gaps.map((gap) => events.getKey(gap)));
  const stray = new Set<string>();
  const strange: IDBValidKey[] = [];
  for (const [index, gap] of gaps.entries()) {
    if (found[index] === undefined) continue;
    // Hops from visit to visit.
    let cursor = await events.openKeyCursor(gap);
    while (cursor) {
      const visit: unknown = Array.isArray(cursor.key) ? cursor.key[0] : null;
      const end = [visit, []] as unknown as EventKey;
      const inLog = typeof visit === 'string' && indexedDB.cmp(cursor.key, end) < 0;
      if (inLog) stray.add(visit);
      else strange.push(cursor.key);
      cursor = await (inLog ? cursor.continue(end) : cursor.continue());
    }
  }
  return { visits: stray, keys: strange };
}
