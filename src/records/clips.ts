import type { Asides } from './asides';
import type { Database, StoreName } from './database';
import type { BadRow } from './headers';
import { aside, readClip, toClipRow } from './rows';
import type { Clip, ClipInfo, ClipStore } from './types';

// Apart from the visits, so that a recording never waits for one nor holds one up.
const stores: StoreName[] = ['clips'];

interface Parts {
  database: Pick<Database, 'read' | 'write' | 'erase'>;
  asides: Asides;
  now: () => string;
}

/** Recordings by staff, on disk. */
export function diskClips({ database, asides, now }: Parts): ClipStore {
  const badRow = (key: string, row: unknown, why: string): BadRow => ({
    key,
    found: aside('clips', key, row, why, now()),
  });
  return {
    async clips() {
      const good: ClipInfo[] = [];
      const bad: BadRow[] = [];
      await database.read(stores, async (tx) => {
        // One at a time: all of the sound together would be much to hold.
        let cursor = await tx.objectStore('clips').openCursor();
        while (cursor) {
          const read = readClip(cursor.key, cursor.value);
          if ('clip' in read) {
            const { wav: _, ...info } = read.clip;
            good.push(info);
          } else bad.push(badRow(cursor.key, cursor.value, read.why));
          cursor = await cursor.continue();
        }
      });
      await asides.put(bad);
      return good;
    },

    async clip(key): Promise<Clip | null> {
      const row = await database.read(stores, (tx) => tx.objectStore('clips').get(key));
      if (row === undefined) return null;
      const read = readClip(key, row);
      if ('clip' in read) return read.clip;
      await asides.put([badRow(key, row, read.why)]);
      return null;
    },

    saveClip: (clip, instead) =>
      database.write(stores, async (tx) => {
        const clips = tx.objectStore('clips');
        if (instead !== undefined) await clips.delete(instead);
        await clips.put(toClipRow(clip), clip.key);
      }),

    eraseClip: (key) => database.erase(stores, (tx) => tx.objectStore('clips').delete(key)),
  };
}
