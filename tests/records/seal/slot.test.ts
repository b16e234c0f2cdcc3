import { afterEach, expect, test, vi } from 'vitest';
import { openSlot } from '../../../src/records/seal/slot';

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

test('a worker that never answers keeps no visit from being written', async () => {
  vi.useFakeTimers();
  const ended = vi.fn();
  vi.stubGlobal(
    'Worker',
    class {
      postMessage() {}
      terminate = ended;
    },
  );
  vi.stubGlobal('navigator', { storage: { getDirectory: async () => ({}) } });
  const written = openSlot()
    .write({ visit: '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11', raw: new Uint8Array(32) })
    .then(
      () => 'written',
      (cause: Error) => cause.message,
    );
  await vi.advanceTimersByTimeAsync(10_000);
  expect(await Promise.race([written, Promise.resolve('still waiting')])).toMatch(/did not answer/);
  expect(ended).toHaveBeenCalledOnce();
});
