import { Database } from '../database';
import { toStoreError } from '../errors';
import { inTime } from '../inTime';
import type { Migration } from '../migrations';
import { SecondCopy } from './copy';
import { patient, type Side } from './patient';
import { copyVisit, settle } from './settle';

interface Options {
  factory: () => Promise<IDBFactory | null>;
  onLoss: (sentence: string) => void;
  onPuttingBack: (done: number, visits: number) => void;
  onNone: (sentence: string) => void;
}

/**
 * The database with its second copy, both in the same state: what the browser has thrown away is put back. Without a
 * second copy the visits go on all the same, and staff are told. Rejects as `Database.open`.
 */
export async function openTwice(
  name: string,
  steps: readonly Migration[],
  writes: boolean,
  { factory, onLoss, onPuttingBack, onNone }: Options,
): Promise<Database> {
  const opening = writes ? openSecond(name, steps, factory) : Promise.resolve(null);
  opening.catch(() => undefined); // told below
  const first = await Database.open(name, steps, writes).catch(async (cause: unknown) => {
    (await opening.catch(() => null))?.close();
    throw cause;
  });
  if (!writes) {
    if (first.thrownAway) onLoss(lost);
    return first;
  }
  const without = (cause: unknown) =>
    onNone(
      `A second copy of the visits cannot be kept. Make backups often (Visits). (${toStoreError(cause).detail})`,
    );
  let second: Database | null = null;
  try {
    second = await opening;
    const settled = second && (await settle(first, patient(second, patience.settling), onPuttingBack));
    if (settled?.putBack) onLoss(putBack(settled.visits));
    else if (first.thrownAway) onLoss(lost);
    if (!second || !settled) return first;
    first.marks = true;
    first.second = new SecondCopy(second, without);
    // Not waited for: a device that had no second copy may hold thousands.
    void copyMissing(settled.missing, first, patient(second, patience.once), first.second);
  } catch (cause) {
    // What is deleted until it can be reached again is still there.
    first.marks = true;
    second?.close();
    if (first.thrownAway) onLoss(lost);
    without(cause);
  }
  return first;
}

/** One after the other, so that what is written meanwhile waits for one of them at most. */
async function copyMissing(missing: string[], first: Database, second: Side, copy: SecondCopy) {
  for (const visit of missing) if (!(await copy.inTurn(() => copyVisit(first, second, visit)))) return;
}

/** For a bucket, or for all of one visit, while others may wait; for what may be thousands of rows at the start. ms */
const patience = { once: 5_000, settling: 20_000 };

async function openSecond(
  name: string,
  steps: readonly Migration[],
  factory: Options['factory'],
): Promise<Database | null> {
  const found = await inTime(factory(), patience.once, 'the bucket of the second copy');
  return found && Database.open(name, steps, true, found);
}

const lost =
  'All visits on this device are lost: the browser found them damaged. Restore the last backup (Visits).';

function putBack(visits: number): string {
  const what = visits === 0 ? 'Entries of staff' : visits === 1 ? '1 visit' : `${visits} visits`;
  const were = visits === 1 ? 'was' : 'were';
  return `${what} ${were} lost by the browser and put back from the second copy. Make a backup now (Visits).`;
}
