import type { StoreName } from '../database';
import { StoreError } from '../errors';
import { headerSchema } from '../rows';
import { type Change, doAgain, isMarked, type Mark, marksRow } from './changes';
import { keysIn, type Lying, lyingOf, lyingUnder, type Rows, rowsIn } from './lying';
import type { Side } from './patient';

/*
 * Brings the visits and their second copy to the same state when the store opens. Nothing is ever taken from the visits:
 * what is in the second copy alone was lost here and is put back, unless a mark says that it was deleted.
 */

/** Of few small rows, which are compared. */
const small = ['desk', 'staff', 'outbox', 'set-aside'] as const;
/** Of rows that are large or many and never change: their keys are. */
const lasting = ['trail', 'clips'] as const;

export interface Settled {
  /** Visits that were put back, whole or in part. */
  visits: number;
  /** Anything at all was put back. */
  putBack: boolean;
  /** Visits of which the second copy has nothing: to be copied when there is time. */
  missing: string[];
}

/**
 * Rejects with 'broken-seal' where both are sealed with keys of different wards: nothing is changed then.
 * @param onPuttingBack told after each lot of visits, where there is more than one
 */
export async function settle(
  first: Side,
  second: Side,
  onPuttingBack: (done: number, visits: number) => void = () => {},
): Promise<Settled> {
  const marks = await marksIn(first);
  const [ward, copy] = await Promise.all([first, second].map((side) => deskOf(side, 'ward')));
  if (ward !== undefined && copy !== undefined && !same(ward, copy))
    throw new StoreError('broken-seal', 'the second copy is sealed with the key of another ward');
  let putBack = false;
  // The trail before what tells where it ends.
  for (const store of [...lasting, ...small]) {
    if (!first.has(store) || !second.has(store)) continue;
    const lost = await settleStore(first, second, store, marks);
    putBack ||= lost > 0;
    if (store === 'trail' && lost > 0) {
      const head = await deskOf(second, 'head');
      if (head !== undefined) await write(first, [{ store: 'desk', key: 'head', put: head }]);
    }
  }
  const { visits, missing } = await settleVisits(first, second, marks, onPuttingBack);
  if (marks.length > 0) await write(first, [{ store: 'desk', gone: marksRow }]);
  return { visits, putBack: putBack || visits > 0, missing };
}

async function marksIn(first: Side): Promise<Mark[]> {
  return ((await deskOf(first, marksRow)) as Mark[] | undefined) ?? [];
}

const deskOf = async (database: Side, key: string): Promise<unknown> =>
  database.has('desk') ? database.read(['desk'], (tx) => tx.objectStore('desk').get(key)) : undefined;

/** @returns how many rows were put back */
async function settleStore(
  first: Side,
  second: Side,
  store: (typeof small)[number] | (typeof lasting)[number],
  marks: readonly Mark[],
): Promise<number> {
  const read = (database: Side): Promise<Rows> =>
    database.read([store], (tx) =>
      (small as readonly string[]).includes(store) ? rowsIn(tx, store) : keysIn(tx, store),
    );
  const [here, there] = await Promise.all([read(first), read(second)]);
  if (store === 'desk') here.delete(marksRow);
  const changed = [...here.keys()].filter((key) => !there.has(key) || !same(here.get(key), there.get(key)));
  const alone = [...there.keys()].filter((key) => !here.has(key));
  const lost = alone.filter((key) => !isMarked(marks, store, key));
  const gone = alone.filter((key) => isMarked(marks, store, key));
  await bring(first, second, store, changed);
  await write(
    second,
    gone.map((key) => ({ store, gone: key })),
  );
  await bring(second, first, store, lost);
  return lost.length;
}

/** A clip holds a megabyte. */
const atOnce = { clips: 10, others: 500 };

async function bring(from: Side, to: Side, store: StoreName, keys: IDBValidKey[]): Promise<void> {
  for (const some of lots(keys, store === 'clips' ? atOnce.clips : atOnce.others))
    await write(to, await from.read([store], (tx) => lyingUnder(tx, store, some)));
}

/** A visit has some hundred rows. */
const visitsAtOnce = 25;

async function settleVisits(
  first: Side,
  second: Side,
  marks: readonly Mark[],
  onPuttingBack: (done: number, visits: number) => void,
): Promise<{ visits: number; missing: string[] }> {
  const stores = (['visits', 'keys'] as const).filter((store) => first.has(store) && second.has(store));
  const read = (database: Side) =>
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
    const found = await Promise.all(some.map((visit) => compareVisit(first, second, visit, marks)));
    await write(
      first,
      found.flatMap(({ lost }) => lost),
    );
    await write(
      second,
      found.flatMap(({ lacking }) => lacking),
    );
    visits += found.filter(({ lost }) => lost.length > 0).length;
    if (visits > 0 && doubtful.length > visitsAtOnce) onPuttingBack(visits, doubtful.length);
  }
  return { visits, missing };
}

/** What was lost here, and what the second copy does not have as it is here. */
async function compareVisit(
  first: Side,
  second: Side,
  visit: string,
  marks: readonly Mark[],
): Promise<{ lost: Lying[]; lacking: Change[] }> {
  const [here, there] = await Promise.all([lyingOf(first, visit), lyingOf(second, visit)]);
  const mine = new Map(here.map((row) => [nameOf(row), row]));
  const alone = there.filter((row) => !mine.has(nameOf(row)));
  const deleted = new Set(alone.filter(({ store, key }) => isMarked(marks, store, key)));
  const lost = alone.filter((row) => !deleted.has(row));
  const gone = [...deleted].map(({ store, key }): Change => ({ store, gone: key }));
  // More entries, or sealed when these were not: then what was written there came after what is here.
  const later = lost.some(isKey) || (lost.some(isEntry) && (nextIn(there) ?? 0) > (nextIn(here) ?? 0));
  if (!later) return { lost, lacking: [...here, ...gone] };
  const theirs = new Map(there.map((row) => [nameOf(row), row]));
  const changed = here.flatMap((row) => {
    const other = theirs.get(nameOf(row));
    return other && !same(row.put, other.put) ? other : [];
  });
  return {
    lost: [...lost, ...changed],
    lacking: [...here.filter((row) => !theirs.has(nameOf(row))), ...gone],
  };
}

/** Brings all that lies of a visit into the second copy. */
export async function copyVisit(first: Side, second: Side, visit: string): Promise<void> {
  await write(second, await lyingOf(first, visit));
}

const nameOf = ({ store, key }: Lying) => `${store} ${JSON.stringify(key)}`;
const isKey = ({ store }: Lying) => store === 'keys';
const isEntry = ({ store }: Lying) => store === 'events';
const nextIn = (rows: readonly Lying[]): number | undefined =>
  headerSchema.safeParse(rows.find(({ store }) => store === 'visits')?.put).data?.next;

async function write(database: Side, changes: readonly Change[]): Promise<void> {
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
    // Thousands of wrapped keys, at each start.
    if (one instanceof Uint8Array && other instanceof Uint8Array) return indexedDB.cmp(one, other) === 0;
    return text(one) === text(other);
  } catch {
    return false; // what nobody could have written here
  }
}

const text = (row: unknown): string =>
  JSON.stringify(row, (_, value: unknown) => (value instanceof Uint8Array ? `bytes ${value}` : value)) ?? '';
