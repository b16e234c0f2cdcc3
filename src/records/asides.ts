import type { Database, StoreName, Writing } from './database';
import type { BadRow } from './headers';
import { type EventKey, freshRow, isVisitId, readClip, readOutbox, setAsideSchema, whyNot } from './rows';
import type { SetAside } from './types';

/** Where rows go that cannot be read, so that they stand in nobody's way and nothing is lost. */
export interface Asides {
  /**
   * Moves rows there and tells of them. Where nothing can be written they stay where they are: a disk that is full keeps
   * nobody from reading the rest.
   */
  put(bad: readonly BadRow[]): Promise<void>;
  all(): Promise<SetAside[]>;
}

interface Parts {
  database: Pick<Database, 'read' | 'write'>;
  now: () => string;
  /** Told of each row as it is found. */
  tell: (found: SetAside) => void;
}

export function diskAsides({ database, now, tell }: Parts): Asides {
  return {
    async put(bad) {
      if (bad.length === 0) return;
      const moved: BadRow[] = [];
      const move = async (tx: Writing) => {
        for (const each of bad) if (await stillBad(tx, each)) moved.push(each);
        for (const { key, found } of moved) {
          const { store } = found;
          await tx.objectStore('set-aside').add(found);
          if (store === 'outbox' && isVisitId(key)) {
            // It is not known whether it was filed.
            await tx.objectStore(store).put({ ...freshRow(key), doubtful: true }, key);
          } else await tx.objectStore(store).delete(key as EventKey & string);
        }
        return moved;
      };
      const stores = [...new Set<StoreName>(['set-aside', ...bad.map(({ found }) => found.store)])];
      const told = await database.write(stores, move).catch(() => bad);
      for (const { found } of told) tell(found);
    },

    async all() {
      const rows = await database.read(['set-aside'], (tx) => tx.objectStore('set-aside').getAll());
      return rows.map((row) => {
        const read = setAsideSchema.safeParse(row);
        if (read.success) return { ...read.data, found: read.data.found };
        const why = whyNot(read.error);
        return { store: 'set-aside', visit: '', where: '', why, found: row, at: now() };
      });
    },
  };
}

/** Since it was read, another look may have moved it, its visit may have been erased, or a good one took its place. */
async function stillBad(tx: Writing, { key, found }: BadRow): Promise<boolean> {
  const { store } = found;
  const rows = tx.objectStore(store);
  // A row may be there and hold nothing.
  if ((await rows.getKey(key as EventKey & string)) === undefined) return false;
  const there = await rows.get(key as EventKey & string);
  if (store === 'clips') return 'why' in readClip(key, there);
  if (store === 'outbox') return readOutbox(there)?.visit !== key;
  return true;
}
