import { setTimeout as later } from 'node:timers/promises';
import { beforeEach, expect, test, vi } from 'vitest';
import { takeWriterLock } from '../../src/records/writerLock';
import { fakeLocks } from './locks';

let locks = fakeLocks();
beforeEach(() => {
  locks = fakeLocks();
});

const take = (wait: number, onFree?: () => void) => takeWriterLock(locks, 'writer', wait, onFree);

test('who meets an old self waits until it is gone', async () => {
  const old = await take(20);
  const anew = take(5_000);
  await later(50);
  old.release();
  expect((await anew).held).toBe(true);
});

test('who waited in vain is told when the other window is gone, and the next one can have the lock', async () => {
  const first = await take(20);
  const onFree = vi.fn();
  expect((await take(20, onFree)).held).toBe(false);
  await later(50);
  expect(onFree).not.toHaveBeenCalled();
  first.release();
  await vi.waitFor(() => expect(onFree).toHaveBeenCalledOnce());
  expect((await take(20)).held).toBe(true);
});

test('who has closed meanwhile is told nothing', async () => {
  const first = await take(20);
  const onFree = vi.fn();
  (await take(20, onFree)).release();
  first.release();
  expect((await take(20)).held).toBe(true);
  expect(onFree).not.toHaveBeenCalled();
});

test('a browser that grants no locks is a typed error', async () => {
  locks.request = () => Promise.reject(new DOMException('not here', 'SecurityError'));
  await expect(take(5_000)).rejects.toMatchObject({ name: 'StoreError', code: 'refused' });
});
