import type { IDBPDatabase } from 'idb';
import type { Disk } from '../migrations';
import type { Bytes } from './box';
import { AccessError } from './errors';
import { type Failures, failedAgain, failuresSchema, lockAt, none, waitOf } from './failures';
import type { Ledger } from './ledger';
import { envelope, type People, type Row } from './people';
import { lockWith, openWith } from './secret';

/** Tries by ids that nobody has count together. */
const strangers = 'strangers';
const nothing = new Uint8Array(1);

const waiting = (ms: number): string =>
  ms > 60_000 ? `${Math.ceil(ms / 60_000)} minutes` : `${Math.ceil(ms / 1000)} seconds`;

interface Parts {
  db: IDBPDatabase<Disk>;
  people: Pick<People, 'row'>;
  ledger: Ledger;
  now: () => string;
}

/**
 * One try of a secret. It is counted before it is made, so that pulling the plug wins nothing. Rejects with a sentence
 * for staff when it does not open, or may not be tried now.
 * @returns the row as it is to be when the try is forgotten, and the private key of the ward
 */
export async function tryToOpen(
  { db, people, ledger, now: clock }: Parts,
  id: string,
  secret: string,
): Promise<{ row: Row; privateKey: Bytes }> {
  const row = await people.row(id);
  const before = row?.failures ?? (await strange(db));
  const now = clock();
  const wait = waitOf(before, now, row !== null && id !== envelope);
  if (wait === null)
    throw new AccessError(
      'This id is locked after too many tries. Somebody else of the staff can let it in, or open with the code in the envelope.',
    );
  if (wait > 0) throw new AccessError(`Too many tries. Wait ${waiting(wait)}, then try again.`);
  const failures = failedAgain(before, now);
  await ledger.write((tx) =>
    row
      ? tx.objectStore('staff').put({ ...row, failures }, id)
      : tx.objectStore('desk').put(failures, strangers),
  );
  // For an id that nobody has it takes as long.
  const privateKey = row ? await openWith(secret, row.locked, id) : await lockWith(secret, nothing, '');
  if (row && privateKey instanceof Uint8Array) return { row: { ...row, failures: none }, privateKey };
  const locks = row !== null && id !== envelope && failures.count >= lockAt;
  // Somebody may have typed the secret where the id belongs: only ids that there are go into the trail.
  await ledger.record({ who: row ? id : '?', what: locks ? 'locked' : 'failed' });
  throw new AccessError(
    locks
      ? 'That did not open. This id is locked now; somebody else of the staff can let it in.'
      : 'That did not open. Check the id and the secret.',
  );
}

async function strange(db: IDBPDatabase<Disk>): Promise<Failures> {
  return failuresSchema.safeParse(await db.get('desk', strangers)).data ?? none;
}
