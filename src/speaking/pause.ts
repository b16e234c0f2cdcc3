/** Milliseconds of quiet between sentences at rate 1. Older listeners use it to take in what they heard. */
export const betweenSentences = 350;

/** Resolves after `ms`, or at once when `signal` aborts. */
export function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((done) => {
    if (signal.aborted) return done();
    const finish = () => {
      clearTimeout(timer);
      signal.removeEventListener('abort', finish);
      done();
    };
    const timer = setTimeout(finish, ms);
    signal.addEventListener('abort', finish);
  });
}

/** What `promise` gives, or `'late'` after `ms`, or `'aborted'` as soon as `signal` aborts. */
export async function within<T>(
  promise: Promise<T>,
  ms: number,
  signal: AbortSignal,
): Promise<T | 'late' | 'aborted'> {
  const over = new AbortController();
  const both = AbortSignal.any([signal, over.signal]);
  const rest = pause(ms, both).then(() => (signal.aborted ? ('aborted' as const) : ('late' as const)));
  try {
    return await Promise.race([promise, rest]);
  } finally {
    over.abort();
  }
}
