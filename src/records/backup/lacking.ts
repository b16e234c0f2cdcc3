import type { SealedRow } from '../rows';
import { sealEvent, unsealEvent } from '../seal/events';
import type { VisitEvent } from '../types';
import { same } from './format';

export type Row = VisitEvent | SealedRow;

/** A visit as it lies here, and as it lies in a file. */
export interface Two {
  here: readonly Row[];
  /** null: it lies open, or its key does not open. */
  ourKey: CryptoKey | null;
  there: readonly SealedRow[];
  theirKey: CryptoKey | null;
  /** Both are sealed with the same key. */
  sameKey: boolean;
  /** The visit here is sealed, or will lie open. */
  sealed: boolean;
}

/**
 * What the log here lacks, to be added: holes, and what was written after. From the first entry on that is another one
 * here nothing is added, because two stories do not make one; that entry and the rest are told apart, to be set aside.
 */
export async function lacking({ here, ourKey, there, theirKey, sameKey, sealed }: Two): Promise<{
  add: Row[];
  differ: Row[];
}> {
  const ours = new Map(here.map((row) => [row.seq, row]));
  const opened = async (row: Row, key: CryptoKey | null): Promise<VisitEvent | null> => {
    if (!('sealed' in row)) return row;
    const read = key && (await unsealEvent(key, row));
    return read && 'event' in read ? read.event : null;
  };
  const alike = async (a: Row, b: SealedRow): Promise<boolean> => {
    if (a.at !== b.at) return false;
    if ('sealed' in a && a.mark === b.mark && same(a.bytes, b.bytes)) return true;
    const [mine, theirs] = await Promise.all([opened(a, ourKey), opened(b, theirKey)]);
    return mine !== null && theirs !== null && JSON.stringify(mine.fact) === JSON.stringify(theirs.fact);
  };
  /** As it would lie here; null: it cannot. */
  const asOurs = async (row: SealedRow): Promise<Row | null> => {
    if (sealed && sameKey) return row;
    const event = await opened(row, theirKey);
    if (!event || !sealed) return event;
    return ourKey && sealEvent(ourKey, event);
  };
  const add: Row[] = [];
  const differ: Row[] = [];
  for (const row of [...there].sort((a, b) => a.seq - b.seq)) {
    const mine = ours.get(row.seq);
    if (mine && (await alike(mine, row))) continue;
    const moved = await asOurs(row);
    if (mine || !moved || differ.length > 0) differ.push(moved ?? row);
    else add.push(moved);
  }
  return { add, differ };
}
