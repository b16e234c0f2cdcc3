import type { StoreName, Writing } from '../database';

/** What a transaction has changed, in a form that can be done again elsewhere. */
export type Change =
  | { store: StoreName; put: unknown; key: IDBValidKey }
  | { store: StoreName; gone: IDBValidKey | IDBKeyRange };

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

/** Does these changes. */
export async function doAgain(tx: Writing, changes: readonly Change[]): Promise<void> {
  // async: one that throws at once then rejects like the others, and none goes unheard.
  const doing = changes.map(async (change) => {
    const rows = tx.objectStore(change.store) as unknown as Changing;
    await ('gone' in change ? rows.delete(change.gone) : rows.put(change.put, change.key));
  });
  await Promise.all(doing);
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
