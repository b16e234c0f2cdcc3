import type { IDBPDatabase } from 'idb';
import { everyEventOf } from '../headers';
import type { Disk } from '../migrations';

/** All that lies here of one visit, as it lies; nothing of it is read yet. */
export async function whatLies(db: IDBPDatabase<Disk>, visit: string) {
  const tx = db.transaction(['visits', 'events', 'keys', 'outbox']);
  const range = everyEventOf(visit);
  const [header, at, rows, wrapped, outbox] = await Promise.all([
    tx.objectStore('visits').get(visit),
    tx.objectStore('events').getAllKeys(range),
    tx.objectStore('events').getAll(range),
    tx.objectStore('keys').get(visit),
    tx.objectStore('outbox').get(visit),
  ]);
  return { header, at, rows, wrapped, outbox };
}
