import { vi } from 'vitest';

/**
 * From now on the disk has no room for some of what is added, until mocks are restored.
 * @param full told the store of the database, and how many were added
 */
export function noRoom(full: (where: string, calls: number) => boolean): void {
  const { add } = IDBObjectStore.prototype;
  let calls = 0;
  vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(function (this: IDBObjectStore, ...given) {
    calls += 1;
    if (full(this.name, calls)) throw new DOMException('no room', 'QuotaExceededError');
    return add.apply(this, given);
  });
}
