import type { Writing } from './database';
import { headerAfter, readOutbox, rowAfter, type SealedRow, touchesOutbox } from './rows';
import type { VisitEvent, VisitFact, VisitHeader } from './types';

/**
 * Writes what was added to a visit, in one step: its entries, its header, and its place in the outbox, so that no visit
 * that is to be filed may be forgotten by a crash in between. `tx` has the outbox where the facts touch it.
 */
export async function writeAdded(
  tx: Writing,
  visit: string,
  facts: readonly VisitFact[],
  before: VisitHeader | null,
  rows: readonly (VisitEvent | SealedRow)[],
): Promise<void> {
  if (touchesOutbox(facts)) {
    const outbox = tx.objectStore('outbox');
    const row = rowAfter(readOutbox(await outbox.get(visit)), visit, facts);
    if (row) await outbox.put(row, visit);
  }
  // async: a put that throws at once then rejects like the others, and none goes unheard.
  const puts = rows.map(async (row) => {
    await tx.objectStore('events').add(row, [visit, row.seq]);
  });
  await Promise.all([...puts, tx.objectStore('visits').put(headerAfter(before, rows), visit)]);
}
