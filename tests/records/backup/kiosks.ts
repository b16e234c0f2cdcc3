import { IDBFactory } from 'fake-indexeddb';
import type { Archive } from '../../../src/records/backup/archive';
import type { VisitStore } from '../../../src/records/types';
import { accessOf, device, meddle, rue } from '../seal/kiosk';

export const clip = {
  key: 'ab'.repeat(32),
  language: 'en',
  text: 'Shake it well.',
  place: 'steps.light.teach.0',
  recordedAt: '2026-03-02T10:00:00.000Z',
  seconds: 1.5,
  wav: new Uint8Array([82, 73, 70, 70, 1, 2, 3]),
};

/** A kiosk with a disk of its own; several stand side by side. */
export async function kiosk() {
  const disk = new IDBFactory();
  const on = () => {
    globalThis.indexedDB = disk;
  };
  on();
  const one = device();
  const store = await one.open();
  const access = await accessOf(store);
  return {
    ...one,
    store,
    access,
    /** Looks at rows behind the store's back. */
    meddle: <T>(work: Parameters<typeof meddle<T>>[0]) => {
      on();
      return meddle(work);
    },
    /** All rows with their keys. */
    rows: () => {
      on();
      return meddle(async (db) =>
        Promise.all(
          [...db.objectStoreNames].map(async (name) => [
            name,
            await db.getAllKeys(name),
            await db.getAll(name),
          ]),
        ),
      );
    },
  };
}
export type Kiosk = Awaited<ReturnType<typeof kiosk>>;

export async function sealedKiosk() {
  const one = await kiosk();
  const code = await one.access.setUp(rue);
  return { ...one, code };
}

export async function fill(store: VisitStore, visits: Parameters<VisitStore['append']>[]): Promise<void> {
  for (const [visit, facts] of visits) await store.append(visit, facts);
  store.putDown();
}

export const saved = async ({ access }: Kiosk) => (await (await access.archive()).save(rue.secret)).file;

export const restored = async (
  { access }: Kiosk,
  file: Blob,
  opener: Parameters<Archive['restore']>[1] = { id: rue.id, secret: rue.secret },
) => {
  const archive = await access.archive();
  return archive.restore(await archive.check(file), opener);
};
