import { toStoreError } from './errors';

export interface WriterLock {
  /** false: another window has it. */
  held: boolean;
  /** Gives it back, or no longer waits for it. */
  release(): void;
}

/**
 * The lock of the one window that writes.
 * @param wait ms until it goes on without: a page that reloads meets its own old self, and a busy browser is slow to
 * answer
 * @param onFree called once when it comes after all. It is given back then: whoever opens anew can have it
 */
export function takeWriterLock(
  locks: Pick<LockManager, 'request'>,
  name: string,
  wait: number,
  onFree: () => void = () => {},
): Promise<WriterLock> {
  return new Promise((resolve, reject) => {
    const given = new AbortController();
    let late = false;
    const timer = setTimeout(() => {
      late = true;
      resolve({ held: false, release: () => given.abort() });
    }, wait);
    locks
      .request(name, { mode: 'exclusive', signal: given.signal }, async () => {
        clearTimeout(timer);
        if (late) onFree();
        else await new Promise<void>((release) => resolve({ held: true, release }));
      })
      .catch((cause: unknown) => {
        clearTimeout(timer);
        // Who no longer waits is told nothing.
        reject(toStoreError(cause, true));
      });
  });
}
