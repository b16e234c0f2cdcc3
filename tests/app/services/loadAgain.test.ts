import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { loadAgain } from '../../../src/app/services/loadAgain';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('a page loads again once nobody is at work on it, and once only', () => {
  const reload = vi.fn();
  let atWork = true;
  loadAgain(() => !atWork, reload, 5_000);
  vi.advanceTimersByTime(60_000);
  expect(reload).not.toHaveBeenCalled();
  atWork = false;
  vi.advanceTimersByTime(5_000);
  expect(reload).toHaveBeenCalledOnce();
  vi.advanceTimersByTime(60_000);
  expect(reload).toHaveBeenCalledOnce();
});
