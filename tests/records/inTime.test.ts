import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { inTime } from '../../src/records/inTime';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('what answers in time is as it is, also where it fails', async () => {
  expect(await inTime(Promise.resolve(3), 100, 'the disk')).toBe(3);
  await expect(inTime(Promise.reject(new Error('no room')), 100, 'the disk')).rejects.toThrow('no room');
  expect(vi.getTimerCount()).toBe(0);
});

test('what does not answer is named', async () => {
  const asked = expect(inTime(new Promise(() => {}), 100, 'the disk')).rejects.toThrow(
    'the disk did not answer',
  );
  await vi.advanceTimersByTimeAsync(100);
  await asked;
});
