import type { Asides } from './asides';
import type { Database } from './database';
import type { BadRow } from './headers';
import { aside, freshRow, isVisitId, outboxSchema, readOutbox, rowToKeep, whyNot } from './rows';
import type { OutboxRow, OutboxStore } from './types';

interface Parts {
  database: Pick<Database, 'read' | 'write'>;
  asides: Asides;
  now: () => string;
}

/** How far the filing of each visit is, on disk. Rows come in with the log of their visit: see `rowAfter`. */
export function diskOutbox({ database, asides, now }: Parts): OutboxStore {
  return {
    async outbox() {
      const rows: OutboxRow[] = [];
      const bad: BadRow[] = [];
      await database.read(['outbox'], async (tx) => {
        let cursor = await tx.objectStore('outbox').openCursor();
        while (cursor) {
          const { key, value } = cursor;
          const read = outboxSchema.safeParse(value);
          if (read.success && read.data.visit === key) rows.push(read.data);
          else {
            const why = read.success ? `filed under ${key}` : whyNot(read.error);
            bad.push({ key, found: aside('outbox', key, value, why, now()) });
            if (isVisitId(key)) rows.push({ ...freshRow(key), doubtful: true });
          }
          cursor = await cursor.continue();
        }
      });
      await asides.put(bad);
      return rows;
    },

    saveOutbox: (row) =>
      database.write(['outbox', 'visits'], async (tx) => {
        const key = await tx.objectStore('visits').getKey(row.visit);
        const outbox = tx.objectStore('outbox');
        const there = readOutbox(await outbox.get(row.visit));
        if (key !== undefined) await outbox.put(outboxSchema.parse(rowToKeep(there, row)), row.visit);
      }),
  };
}
