import { toStoreError } from './errors';

/**
 * The lock of the one window that writes.
 * @param wait ms to wait for it: a page that reloads meets its own old self
 * @returns a function that gives it back; null: another window has it
 */
export function takeWriterLock(
  locks: Pick<LockManager, 'request'>,
  name: string,
  wait: number,
): Promise<(() => void) | null> {
  return new Promise((resolve, reject) => {
    locks
      .request(
        name,
        { mode: 'exclusive', signal: AbortSignal.timeout(wait) },
        () => new Promise<void>((release) => resolve(release)),
      )
      .catch((cause: unknown) => {
        const timedOut = cause instanceof DOMException && /TimeoutError|AbortError/.test(cause.name);
        if (timedOut) resolve(null);
        else reject(toStoreError(cause, true));
      });
  });
}
