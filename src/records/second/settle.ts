import type { Database, StoreName } from '../database';
import { headerSchema } from '../rows';
import { type Change, doAgain } from './changes';
import { keysIn, type Lying, lyingOf, lyingUnder, type Rows, rowsIn } from './lying';

/*
 * Brings the visits and their second copy to the same state when the store opens. Nothing is ever taken from the visits:
 * what is deleted goes from the second copy first, so what is there alone was lost here, and is put back. Only where
 * the second copy could not follow for a while is it the one that is wrong.
 */

/** Of few small rows, which are compared. */
const small = ['desk', 'staff', 'outbox', 'set-aside'] as const;
/** Of rows that are large or many and never change: their keys are. */
const lasting = ['trail', 'clips'] as const;

/** What has a second copy. Digests are made anew from the logs. */
export const copied: readonly StoreName[] = [...small, ...lasting, 'visits', 'keys', 'events'];

/** In `desk`, and not copied: since then the second copy did not follow. */
export const behind = 'second-copy-behind';

export interface Settled {
  /** Visits that were put back, whole or in part. */
  visits: number;
  /** Anything at all was put back. */
  putBack: boolean;
  /** Visits of which the second copy has nothing: to be copied when there is time. */
  missing: string[];
}

export async function settle(first: Database, second: Database): Promise<Settled> {
  const late = first.has('desk') && (await first.db.getKey('desk', behind)) !== undefined;
  let putBack = false;
  // The trail before what tells where it ends.
  for (const store of [...lasting, ...small]) {
    if (!first.has(store) || !second.has(store)) continue;
    const lost = await settleStore(first, second, store, late);
    putBack ||= lost > 0;
    if (store === 'trail' && lost > 0) {
      const head: unknown = await second.db.get('desk', 'head');
      if (head !== undefined) await write(first, [{ store: 'desk', key: 'head', put: head }]);
    }
  }
  const { visits, missing } = await settleVisits(first, second, late);
  if (late) await first.db.delete('desk', behind);
  return { visits, putBack: putBack || visits > 0, missing };
}

/** @returns how many rows were put back */
async function settleStore(
  first: Database,
  second: Database,
  store: (typeof small)[number] | (typeof lasting)[number],
  late: boolean,
): Promise<number> {
  const read = (database: Database): Promise<Rows> =>
    database.read([store], (tx) =>
      (small as readonly string[]).includes(store) ? rowsIn(tx, store) : keysIn(tx, store),
    );
  const [here, there] = await Promise.all([read(first), read(second)]);
  if (store === 'desk') here.delete(behind);
  const changed = [...here.keys()].filter((key) => !there.has(key) || !same(here.get(key), there.get(key)));
  const alone = [...there.keys()].filter((key) => !here.has(key));
  await bring(first, second, store, changed);
  if (late)
    await write(
      second,
      alone.map((gone) => ({ store, gone })),
    );
  else await bring(second, first, store, alone);
  return late ? 0 : alone.length;
}

/** A clip holds a megabyte. */
const atOnce = { clips: 10, others: 500 };

async function bring(from: Database, to: Database, store: StoreName, keys: IDBValidKey[]): Promise<void> {
  for (const some of lots(keys, store === 'clips' ? atOnce.clips : atOnce.others))
    await write(to, await from.read([store], (tx) => lyingUnder(tx, store, some)));
}

/** A visit has some hundred rows. */
const visitsAtOnce = 25;

async function settleVisits(
  first: Database,
  second: Database,
  late: boolean,
): Promise<{ visits: number; missing: string[] }> {
  const stores = (['visits', 'keys'] as const).filter((store) => first.has(store) && second.has(store));
  const read = (database: Database) =>
    database.read([...stores], (tx) => Promise.all(stores.map((store) => rowsIn(tx, store))));
  const [here, there] = await Promise.all([read(first), read(second)]);
  const all = new Set([...here, ...there].flatMap((rows) => [...rows.keys()]));
  const differing = [...all].filter(
    (visit): visit is string =>
      typeof visit === 'string' &&
      here.some((rows, index) => !same(rows.get(visit), there[index]?.get(visit))),
  );
  const missing = differing.filter((visit) => !there.some((rows) => rows.has(visit)));
  const doubtful = differing.filter((visit) => there.some((rows) => rows.has(visit)));
  let visits = 0;
  for (const some of lots(doubtful, visitsAtOnce)) {
    const found = await Promise.all(some.map((visit) => compareVisit(first, second, visit, late)));
    await write(
      first,
      found.flatMap(({ lost }) => lost),
    );
    await write(
      second,
      found.flatMap(({ lacking }) => lacking),
    );
    visits += found.filter(({ lost }) => lost.length > 0).length;
  }
  return { visits, missing };
}

/** What was lost here, and what the second copy does not have as it is here. */
async function compareVisit(
  first: Database,
  second: Database,
  visit: string,
  late: boolean,
): Promise<{ lost: Lying[]; lacking: Change[] }> {
  const [here, there] = await Promise.all([lyingOf(first, visit), lyingOf(second, visit)]);
  const mine = new Map(here.map((row) => [nameOf(row), row]));
  const alone = there.filter((row) => !mine.has(nameOf(row)));
  if (late) return { lost: [], lacking: [...here, ...alone.map(({ store, key }) => ({ store, gone: key }))] };
  // More entries, or sealed when these were not: then what was written there came after what is here.
  const later = (nextIn(there) ?? 0) > (nextIn(here) ?? 0) || alone.some(({ store }) => store === 'keys');
  if (!later) return { lost: alone, lacking: here };
  const theirs = new Set(there.map(nameOf));
  return {
    lost: there.filter((row) => !same(row.put, mine.get(nameOf(row))?.put)),
    lacking: here.filter((row) => !theirs.has(nameOf(row))),
  };
}

/** Brings all that lies of a visit into the second copy. */
export async function copyVisit(first: Database, second: Database, visit: string): Promise<void> {
  await write(second, await lyingOf(first, visit));
}

const nameOf = ({ store, key }: Lying) => `${store} ${JSON.stringify(key)}`;
const nextIn = (rows: readonly Lying[]): number | undefined =>
  headerSchema.safeParse(rows.find(({ store }) => store === 'visits')?.put).data?.next;

async function write(database: Database, changes: readonly Change[]): Promise<void> {
  if (changes.length === 0) return;
  const stores = [...new Set(changes.map(({ store }) => store))];
  await database.write(stores, (tx) => doAgain(tx, changes));
}

function lots<T>(all: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(all.length / size) }, (_, at) =>
    all.slice(at * size, (at + 1) * size),
  );
}

/** Are these rows the same, as far as can be told? */
function same(one: unknown, other: unknown): boolean {
  try {
    return text(one) === text(other);
  } catch {
    return false; // what nobody could have written here
  }
}

const text = (row: unknown): string =>
  JSON.stringify(row, (_, value: unknown) => (value instanceof Uint8Array ? `bytes ${value}` : value)) ?? '';
