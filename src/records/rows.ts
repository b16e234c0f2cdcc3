import * as z from 'zod/mini';
import { StoreError } from './errors';
import { isMadeUp } from './invented';
import { addedByStaff } from './reviewed';
import { seqLimit, seqSchema, type VisitEvent, type VisitFact, visitEventSchema } from './schema';
import type { Clip, OutboxRow, SetAside, VisitHeader } from './types';

/*
 * What lies on disk and how it is read back. The one place where an event or a clip becomes a stored row and a
 * row an event or a clip. An event lies as it is, or sealed: then only what the list of visits needs stays readable.
 */

export type EventKey = [visit: string, seq: number];

export const headerSchema = z.strictObject({
  visit: z.uuid(),
  practice: z.boolean(),
  startedAt: z.iso.datetime(),
  lastAt: z.iso.datetime(),
  finished: z.nullable(z.enum(['completed', 'stopped'])),
  next: z.int().check(z.gte(1), z.lte(seqLimit)),
  signed: z.optional(z.enum(['no', 'yes', 'changed'])),
});

/** What a list of visits needs of an event. Those of staff name nobody and hold no word. */
export const marks = ['started', 'practice', 'completed', 'stopped', 'signed', 'added', 'checked'] as const;

/** An event of which only place, time and mark can be read; all three are bound to the sealed bytes. */
export const sealedRowSchema = z.strictObject({
  sealed: z.literal(1),
  visit: z.uuid(),
  seq: seqSchema,
  at: z.iso.datetime(),
  mark: z.nullable(z.enum(marks)),
  bytes: z.instanceof(Uint8Array<ArrayBuffer>),
});
export type SealedRow = z.infer<typeof sealedRowSchema>;

export function markOf(fact: VisitFact): SealedRow['mark'] {
  if (fact.type === 'visit-started') return fact.start.practice ? 'practice' : 'started';
  if (fact.type === 'finished') return fact.how;
  if (fact.type === 'signed') return 'signed';
  if (fact.type === 'patient-checked') return 'checked';
  return addedByStaff(fact) || fact.type === 'record-number' ? 'added' : null;
}

/** How far a visit is signed after this event, as `signOffOf` has it. */
function signedAfter(
  { signed, finished }: VisitHeader,
  event: VisitEvent | SealedRow,
  mark: SealedRow['mark'],
): VisitHeader['signed'] {
  if (mark === 'started' || mark === 'practice') return 'no';
  if (mark === 'signed') return 'yes';
  if (mark === 'checked') return signed;
  // Sealed when signatures had no mark yet: it may be one.
  if (mark === null && 'sealed' in event && finished) return undefined;
  return signed === 'yes' ? 'changed' : signed;
}

export const clipSchema = z.strictObject({
  key: z.string().check(z.regex(/^[0-9a-f]{64}$/)),
  language: z.string(),
  text: z.string().check(z.minLength(1)),
  place: z.string(),
  recordedAt: z.iso.datetime(),
  seconds: z.number().check(z.gte(0)),
  wav: z.instanceof(Uint8Array<ArrayBuffer>),
});

export const outboxSchema = z.strictObject({
  visit: z.uuid(),
  state: z.enum(['waiting', 'held', 'filed']),
  tries: z.int().check(z.gte(0)),
  notBefore: z.nullable(z.iso.datetime()),
  problem: z.string(),
  filedAt: z.nullable(z.iso.datetime()),
  /** Rows from before it was counted have none. */
  changes: z._default(z.int().check(z.gte(0)), 0),
  doubtful: z.boolean(),
  asks: z.optional(z.literal('patient')),
});

export const freshRow = (visit: string): OutboxRow => ({
  visit,
  state: 'waiting',
  tries: 0,
  notBefore: null,
  problem: '',
  filedAt: null,
  changes: 0,
  doubtful: false,
});

/** Does this fact bring a visit into the outbox? */
const bringsToOutbox = (fact: VisitFact): boolean =>
  fact.type === 'visit-started'
    ? Boolean(fact.start.recordNumber) && !isMadeUp(fact.start)
    : fact.type === 'record-number';

/** May these facts change the row of their visit? */
export const touchesOutbox = (facts: readonly VisitFact[]): boolean =>
  facts.some((fact) => bringsToOutbox(fact) || addedByStaff(fact));

/**
 * The row of a visit after these facts, to be written in one step with them; null: it stays as it is.
 * @param before the row that is there
 */
export function rowAfter(
  before: OutboxRow | null,
  visit: string,
  facts: readonly VisitFact[],
): OutboxRow | null {
  const changes = before ? before.changes + 1 : 0;
  if (facts.some(bringsToOutbox)) return { ...freshRow(visit), changes };
  if (!before || !facts.some(addedByStaff)) return null;
  // What lies in the record from before is to be changed, not written a second time.
  const { filedAt, doubtful } = before;
  return { ...freshRow(visit), filedAt, changes, doubtful };
}

/** What is kept of a row that somebody read a while ago: what was added to the log since is not filed yet. */
export function rowToKeep(there: OutboxRow | null, row: OutboxRow): OutboxRow {
  if (!there || there.changes <= row.changes) return row;
  const filed = row.state === 'filed';
  // What was on its way may have arrived, whatever was added meanwhile.
  const doubtful = !filed && (there.doubtful || row.doubtful);
  return { ...there, filedAt: row.filedAt ?? there.filedAt, doubtful };
}

/** Can a visit have this id? */
export const isVisitId = (key: unknown): key is string => z.uuid().safeParse(key).success;

/** A stored row; null: there is none, or it cannot be read. */
export const readOutbox = (row: unknown): OutboxRow | null => outboxSchema.safeParse(row).data ?? null;

export const setAsideSchema = z.strictObject({
  store: z.enum(['events', 'visits', 'clips', 'outbox']),
  visit: z.string(),
  where: z.string(),
  why: z.string(),
  found: z.unknown(),
  at: z.iso.datetime(),
});

/** Where a Zod check failed, in a few words. */
export function whyNot(error: z.core.$ZodError): string {
  return error.issues
    .slice(0, 3)
    .map((issue) => {
      const path = issue.path.map(String).join('.') || 'the whole entry';
      return issue.code === 'unrecognized_keys'
        ? `${path}: unknown ${issue.keys.join(', ')}`
        : `${path}: ${issue.code === 'invalid_type' ? `expected ${issue.expected}` : issue.message}`;
    })
    .join('; ');
}

/** Facts as numbered events. Throws `invalid` with what and where; nothing half-checked gets through. */
export function toEvents(visit: string, next: number, at: string, facts: readonly VisitFact[]): VisitEvent[] {
  return facts.map((fact, index) => {
    const seq = next + index;
    const read = visitEventSchema.safeParse({ visit, seq, at, fact });
    if (!read.success) throw new StoreError('invalid', `visit ${visit}, event ${seq}: ${whyNot(read.error)}`);
    const first = read.data.fact.type === 'visit-started';
    if (first !== (seq === 0)) {
      const rule = first ? 'a visit starts only once' : 'a visit begins with visit-started';
      throw new StoreError('invalid', `visit ${visit}, event ${seq}: ${rule}`);
    }
    if (read.data.fact.type === 'visit-started' && read.data.fact.start.visit !== visit) {
      throw new StoreError('invalid', `visit ${visit}: its start names visit ${read.data.fact.start.visit}`);
    }
    return read.data;
  });
}

/** A stored row as an event, sealed or not, or why it is none. */
export function readEvent(key: unknown, row: unknown): { event: VisitEvent | SealedRow } | { why: string } {
  const isSealed = typeof row === 'object' && row !== null && 'sealed' in row;
  const read = isSealed ? sealedRowSchema.safeParse(row) : visitEventSchema.safeParse(row);
  if (!read.success) return { why: whyNot(read.error) };
  const [visit, seq] = Array.isArray(key) ? key : [];
  const event = read.data;
  if (event.visit !== visit || event.seq !== seq) {
    return { why: `filed under ${JSON.stringify(key)} but says ${event.visit}, event ${event.seq}` };
  }
  return { event };
}

/** A clip as it is stored. Throws `invalid` with what is the matter. */
export function toClipRow(clip: Clip): Clip {
  const read = clipSchema.safeParse(clip);
  if (!read.success) throw new StoreError('invalid', `recording of "${clip.text}": ${whyNot(read.error)}`);
  return read.data;
}

/** A stored row as a clip, or why it is none. */
export function readClip(key: unknown, row: unknown): { clip: Clip } | { why: string } {
  const read = clipSchema.safeParse(row);
  if (!read.success) return { why: whyNot(read.error) };
  if (read.data.key !== key) return { why: `filed under ${JSON.stringify(key)} but says ${read.data.key}` };
  return { clip: read.data };
}

/** The header after these events; null only when there are neither. */
export function headerAfter(
  header: VisitHeader | null,
  events: readonly (VisitEvent | SealedRow)[],
): VisitHeader | null {
  let result = header;
  for (const event of events) {
    const { visit, seq, at } = event;
    const mark = 'sealed' in event ? event.mark : markOf(event.fact);
    result ??= { visit, practice: false, startedAt: at, lastAt: at, finished: null, next: 0 };
    result = {
      ...result,
      practice: mark === 'practice' || (mark !== 'started' && result.practice),
      finished: mark === 'completed' || mark === 'stopped' ? mark : result.finished,
      lastAt: at,
      next: Math.max(result.next, seq + 1),
      signed: signedAfter(result, event, mark),
    };
  }
  return result;
}

export function newestFirst(headers: VisitHeader[]): VisitHeader[] {
  // Times and ids are plain ASCII of one form: compared as they are, which is far quicker than by a language's rules.
  const order = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);
  return headers.sort((a, b) => order(b.startedAt, a.startedAt) || order(a.visit, b.visit));
}

/** What is set aside of a row that cannot stand where it stands. */
export type SpoiltRow<S = Exclude<SetAside['store'], 'set-aside'>> = SetAside & { store: S };

export function aside<S extends SpoiltRow['store']>(
  store: S,
  key: unknown,
  found: unknown,
  why: string,
  at: string,
): SpoiltRow<S> {
  const parts = Array.isArray(key) ? key : [key];
  const visit = store !== 'clips' && typeof parts[0] === 'string' ? parts[0] : '';
  const where = {
    events: `event ${String(parts[1])}`,
    visits: 'header of the visit',
    clips: `recording ${String(parts[0])}`,
    outbox: 'place in the outbox',
  }[store];
  return { store, visit, where, why, found, at };
}
