import type { Database } from '../database';
import { inTime } from '../inTime';

/** What reads and writes; a transaction at a time. */
export type Side = Pick<Database, 'has' | 'read' | 'write'>;

/** The same database, of which each transaction rejects when it is not over after so many ms. */
export function patient(database: Database, ms: number): Side {
  const waited = <T>(work: Promise<T>) => inTime(work, ms, 'the disk of the second copy');
  return {
    has: (store) => database.has(store),
    read: (stores, work) => waited(database.read(stores, work)),
    write: (stores, work) => waited(database.write(stores, work)),
  };
}
