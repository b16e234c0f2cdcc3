import type { Writing } from '../database';

/** Takes away the pieces with a digest of such a visit, and those that nobody could read. */
export const dropDigestsOf = (tx: Writing, which: (visit: string) => boolean) =>
  drop(tx, (row) => !Array.isArray(row?.visits) || row.visits.some(which));

/** Takes away what lies open. */
export const dropOpenDigests = (tx: Writing) => drop(tx, (row) => !row?.key);

async function drop(tx: Writing, goes: (row: { visits?: unknown; key?: unknown } | null) => boolean) {
  let cursor = await tx.objectStore('digests').openCursor();
  while (cursor) {
    const row = typeof cursor.value === 'object' ? cursor.value : null;
    if (goes(row)) await cursor.delete();
    cursor = await cursor.continue();
  }
}
