import { type DeriveTexts, derive } from '../derive';
import { StoreError } from '../errors';
import type { VisitHeader, VisitStore } from '../types';
import { type Digest, digestOf } from './digest';
import type { DigestShelf, Piece } from './shelf';

/** To be raised whenever digests of the same log come out in another way. */
const form = 1;

/** Visits in a piece. */
export const pieceSize = 250;

/** Read at the same time: while one key is unwrapped, another log is derived. */
const atOnce = 4;

export interface Update {
  store: Pick<VisitStore, 'list' | 'events'>;
  shelf: DigestShelf;
  /** Of the modules that are taught, by id. Another version of one, and all digests are made anew. */
  texts: Record<string, DeriveTexts>;
  onProgress: (done: number, of: number) => void;
  signal: AbortSignal;
}

export interface UpToDate {
  digests: Digest[];
  /** Of all visits, whatever they are. */
  headers: VisitHeader[];
}

/**
 * A digest of each visit that has ended, without practice; those that were not there yet, or whose log has grown, are
 * made and stored. Digests that cannot be stored or read are made each time. Throws 'sealed' when the records are
 * closed meanwhile; what was stored by then is not made again.
 */
export async function bringUpToDate({ store, shelf, texts, onProgress, signal }: Update): Promise<UpToDate> {
  const basis = basisOf(texts);
  const headers = await store.list();
  const ended = headers.filter(({ practice, finished }) => finished && !practice);
  const { pieces, bad } = await shelf.pieces(basis);
  const { kept, pool, gone } = sorted(pieces, new Map(ended.map(({ visit, next }) => [visit, next])));
  const there = new Set([...kept, ...pool].map(({ visit }) => visit));
  const todo = ended.filter(({ visit }) => !there.has(visit));
  const all = [...kept, ...pool];
  if (todo.length === 0) return { digests: all, headers };
  let instead = [...bad, ...gone];
  let piece = pool;
  for (let done = 0; done < todo.length; ) {
    onProgress(done, todo.length);
    const room = Math.max(1, pieceSize - piece.length);
    const made = await inParallel(todo.slice(done, done + room), async (header) => {
      signal.throwIfAborted();
      const digest = await digested(header, store, texts);
      onProgress(++done, todo.length);
      return digest;
    });
    all.push(...made);
    for (const digests of inPieces([...piece, ...made])) {
      // A disk that is full, or a window that only reads: then it is made again the next time.
      await shelf.put(basis, digests, instead).catch(() => {});
      instead = [];
    }
    piece = [];
  }
  return { digests: all, headers };
}

const basisOf = (texts: Record<string, DeriveTexts>): string =>
  [form, ...Object.values(texts).map(({ module }) => `${module.id} ${module.version}`)].join('; ');

/** Full pieces stay as they are; what still holds of the others is packed anew together with what comes. */
function sorted(pieces: Piece[], wanted: Map<string, number>) {
  const kept: Digest[] = [];
  const pool: Digest[] = [];
  const gone: number[] = [];
  const seen = new Set<string>();
  for (const { key, digests } of pieces) {
    const live = digests.filter(({ visit, events }) => !seen.has(visit) && wanted.get(visit) === events);
    for (const { visit } of live) seen.add(visit);
    const stays = live.length === digests.length && live.length >= pieceSize;
    (stays ? kept : pool).push(...live);
    if (!stays) gone.push(key);
  }
  return { kept, pool, gone };
}

async function digested(
  header: VisitHeader,
  store: Update['store'],
  texts: Update['texts'],
): Promise<Digest> {
  const { visit, next: events } = header;
  try {
    const log = await store.events(visit);
    const started = log.find(({ fact }) => fact.type === 'visit-started')?.fact;
    const module = started?.type === 'visit-started' ? started.start.module : '';
    if (!module) return { visit, events, why: 'its beginning is lost' };
    if (!Object.hasOwn(texts, module))
      return { visit, events, why: `“${module}” is not taught here any more` };
    return digestOf(header, derive(log, texts[module]!));
  } catch (cause) {
    // Any other trouble is that of the store, not of this visit.
    if (cause instanceof StoreError && cause.code === 'broken-seal')
      return { visit, events, why: 'its key does not open' };
    throw cause;
  }
}

const inPieces = (digests: Digest[]): Digest[][] =>
  Array.from({ length: Math.ceil(digests.length / pieceSize) }, (_, index) =>
    digests.slice(pieceSize * index, pieceSize * (index + 1)),
  );

/** In the order given; the first failure ends it. */
async function inParallel<T, R>(list: readonly T[], work: (one: T) => Promise<R>): Promise<R[]> {
  const results: R[] = [];
  let next = 0;
  const worker = async () => {
    while (next < list.length) {
      const index = next++;
      results[index] = await work(list[index]!);
    }
  };
  await Promise.all(Array.from({ length: atOnce }, worker));
  return results;
}
