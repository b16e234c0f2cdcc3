type Ask = LockOptions & { signal?: AbortSignal };

/** Exclusive locks as navigator.locks grants them (Web Locks API): first come, first served; a signal ends the wait. */
export function fakeLocks(): Pick<LockManager, 'request'> {
  const queues = new Map<string, Promise<unknown>>();
  const request = (name: string, ask: Ask, work: () => Promise<unknown>): Promise<unknown> => {
    const before = queues.get(name) ?? Promise.resolve();
    let gaveUp = false;
    const mine = before.then(() => (gaveUp ? undefined : work()));
    queues.set(
      name,
      mine.catch(() => undefined),
    );
    return new Promise((resolve, reject) => {
      ask.signal?.addEventListener('abort', () => {
        gaveUp = true;
        reject(ask.signal?.reason);
      });
      mine.then(resolve, reject);
    });
  };
  return { request } as unknown as Pick<LockManager, 'request'>;
}
