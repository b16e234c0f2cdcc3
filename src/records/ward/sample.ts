import type { Writing } from '../database';
import { StoreError } from '../errors';
import { inventedIds, isInvented } from '../invented';
import { headerAfter, headerSchema, type SealedRow, whyNot } from '../rows';
import { visitEventSchema } from '../schema';
import { sealEvent } from '../seal/events';
import type { Sealer } from '../seal/sealer';
import type { VisitEvent, VisitHeader } from '../types';
import { dropDigestsOf } from './drop';

/*
 * The one way in which logs come in whole and with times of their own: those of an invented ward, into a store without
 * real visits, so that neither can be taken for the other.
 */

export interface SampleShelf {
  /** All of these or none. Refused where a real visit is, and for a log that is not invented. */
  add(logs: readonly VisitEvent[][]): Promise<void>;
  /** Takes away all of it. */
  erase(): Promise<void>;
}

interface Parts {
  sealer: () => Sealer | null;
  write<T>(work: (tx: Writing) => Promise<T>): Promise<T>;
  /** For good. */
  erase(work: (tx: Writing) => Promise<unknown>): Promise<void>;
}

/** Throws `invalid` with what is the matter. */
function checkInvented(log: readonly VisitEvent[]): void {
  for (const [index, event] of log.entries()) {
    const read = visitEventSchema.safeParse(event);
    const why = !read.success
      ? whyNot(read.error)
      : !isInvented(event.visit) || event.visit !== log[0]?.visit || event.seq !== index
        ? 'is not of an invented visit'
        : null;
    if (why) throw new StoreError('invalid', `sample ward, event ${index}: ${why}`);
  }
}

export function diskSample({ sealer, write, erase }: Parts): SampleShelf {
  const [from, to] = inventedIds;
  const mine = IDBKeyRange.bound(from, to, false, true);
  return {
    async add(logs) {
      for (const log of logs) checkInvented(log);
      const ward = sealer();
      const lots = await Promise.all(
        logs.map(async (log) => {
          const visit = log[0]!.visit;
          const made = await ward?.newKey(visit);
          const rows: (VisitEvent | SealedRow)[] = made
            ? await Promise.all(log.map((event) => sealEvent(made.key, event)))
            : [...log];
          return { visit, rows, wrapped: made?.wrapped };
        }),
      );
      await write(async (tx) => {
        await refuseBesideReal(tx);
        const puts = lots.flatMap(({ visit, rows, wrapped }) => [
          ...rows.map((row) => tx.objectStore('events').put(row, [visit, row.seq])),
          tx.objectStore('visits').put(headerAfter(null, rows), visit),
          ...(wrapped ? [tx.objectStore('keys').put(wrapped, visit)] : []),
        ]);
        await Promise.all(puts);
      });
    },
    erase: () =>
      erase(async (tx) => {
        const aside = tx.objectStore('set-aside');
        const gone = await aside.index('visit').getAllKeys(mine);
        await Promise.all([
          ...(['visits', 'keys', 'outbox'] as const).map((name) => tx.objectStore(name).delete(mine)),
          tx.objectStore('events').delete(IDBKeyRange.bound([from], [to], false, true)),
          dropDigestsOf(tx, isInvented),
          ...gone.map((key) => aside.delete(key)),
        ]);
      }),
  };
}

export function memorySample(store: {
  headers: () => VisitHeader[];
  add: (log: readonly VisitEvent[]) => void;
  erase: (visit: string) => Promise<void>;
}): SampleShelf {
  return {
    async add(logs) {
      for (const log of logs) checkInvented(log);
      if (store.headers().some(({ visit, practice }) => !practice && !isInvented(visit))) throw besideReal();
      for (const log of logs) store.add(log);
    },
    async erase() {
      for (const { visit } of store.headers()) if (isInvented(visit)) await store.erase(visit);
    },
  };
}

const besideReal = () =>
  new StoreError('invalid', 'there are real visits on this device, so no sample ward is loaded');

async function refuseBesideReal(tx: Writing): Promise<void> {
  const [from, to] = inventedIds;
  for (const range of [IDBKeyRange.upperBound(from, true), IDBKeyRange.lowerBound(to)]) {
    let cursor = await tx.objectStore('visits').openCursor(range);
    while (cursor) {
      // A header that cannot be read may be that of a real visit.
      if (!headerSchema.safeParse(cursor.value).data?.practice) throw besideReal();
      cursor = await cursor.continue();
    }
  }
}
