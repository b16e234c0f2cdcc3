import { type IDBPTransaction, unwrap } from 'idb';
import type { StoreName, Writing } from '../database';

/** What a transaction has changed, in a form that can be done again elsewhere. */
export type Change =
  | { store: StoreName; put: unknown; key: IDBValidKey }
  | { store: StoreName; gone: IDBValidKey | IDBKeyRange };

/** What has a second copy. Digests are made anew from the logs. */
export const copied: readonly StoreName[] = [
  'visits',
  'events',
  'set-aside',
  'clips',
  'keys',
  'desk',
  'staff',
  'trail',
  'outbox',
];

/** Rows are put and deleted by key only: a cursor that changes something is not seen. */
type Changing = Record<'put' | 'add' | 'delete', (...given: unknown[]) => Promise<IDBValidKey | undefined>>;

/** The transaction, with a note in `into` of each change that succeeds, in their order. */
export function watched(tx: Writing, into: Change[]): Writing {
  const objectStore = (store: StoreName) => {
    const rows = tx.objectStore(store) as unknown as Changing;
    const putting =
      (how: 'put' | 'add') =>
      async (...[value, given]: unknown[]) => {
        const key = await rows[how](value, ...(given === undefined ? [] : [given]));
        into.push({ store, put: value, key: key as IDBValidKey });
        return key;
      };
    return instead(rows, {
      put: putting('put'),
      add: putting('add'),
      async delete(gone: IDBValidKey | IDBKeyRange) {
        await rows.delete(gone);
        into.push({ store, gone });
      },
    });
  };
  return instead(tx, { objectStore });
}

/** What was deleted, as it can be stored. */
export type Mark =
  | [StoreName, IDBValidKey]
  | [StoreName, from: IDBValidKey, to: IDBValidKey, boolean, boolean];

/** The row of `desk` with the marks of what was deleted since both copies were last in the same state. */
export const marksRow = 'deleted';

/** Leaves marks of what these changes have deleted, and returns them. */
export async function mark(tx: Writing, changes: readonly Change[]): Promise<Mark[]> {
  const marks = marksOf(changes.filter(({ store }) => copied.includes(store)));
  if (marks.length > 0) await changeMarks(tx, (before) => [...before, ...marks]);
  return marks;
}

/** Takes these away: it is deleted everywhere. */
export function unmark(tx: Writing, marks: readonly Mark[]): Promise<void> {
  const gone = new Set(marks.map((one) => JSON.stringify(one)));
  return changeMarks(tx, (before) => before.filter((one) => !gone.has(JSON.stringify(one))));
}

async function changeMarks(tx: Writing, change: (before: Mark[]) => Mark[]): Promise<void> {
  const desk = tx.objectStore('desk');
  const marks = change(((await desk.get(marksRow)) as Mark[] | undefined) ?? []);
  if (marks.length > 0) await desk.put(marks, marksRow);
  else await desk.delete(marksRow);
}

function marksOf(changes: readonly Change[]): Mark[] {
  return changes.flatMap((change): Mark[] => {
    if (!('gone' in change)) return [];
    const { store, gone } = change;
    if (!(gone instanceof IDBKeyRange)) return [[store, gone]];
    return [[store, gone.lower, gone.upper, gone.lowerOpen, gone.upperOpen]];
  });
}

/** Was what lay there deleted? */
export function isMarked(marks: readonly Mark[], store: StoreName, key: IDBValidKey): boolean {
  return marks.some(([where, from, ...to]) => {
    if (where !== store) return false;
    return (to.length === 0 ? IDBKeyRange.only(from) : IDBKeyRange.bound(from, ...to)).includes(key);
  });
}

/** Does these changes. One that fails takes the transaction along, which says so. */
export async function doAgain(tx: Writing, changes: readonly Change[]): Promise<void> {
  const bare = unwrap(tx as IDBPTransaction<unknown, string[], 'readwrite'>);
  const stores = new Map([...bare.objectStoreNames].map((name) => [name, bare.objectStore(name)]));
  // Nobody waits for each: with a hundred thousand of them, that alone would take longer than to store them.
  for (const change of changes) {
    const rows = stores.get(change.store);
    if ('gone' in change) rows?.delete(change.gone);
    else rows?.put(change.put, change.key);
  }
}

/** An object with some of its methods replaced. */
function instead<T extends object>(target: T, methods: Record<string, unknown>): T {
  return new Proxy(target, {
    get(_, name) {
      if (name in methods) return methods[name as string];
      const value: unknown = Reflect.get(target, name);
      return typeof value === 'function' ? value.bind(target) : value;
    },
  });
}
