import { expect, it, vi } from 'vitest';
import { Board } from '../../src/app/board';

it('tells whoever listens of each change, and leaves the rest as it was', () => {
  const board = new Board();
  const listener = vi.fn();
  const leave = board.subscribe(listener);
  const before = board.state();
  board.turn({ at: 'kiosk' });
  expect(board.state()).toEqual({ ...before, page: { at: 'kiosk' } });
  // Another object, by which React sees that it changed.
  expect(board.state()).not.toBe(before);
  leave();
  board.set({ isNew: true });
  expect(listener).toHaveBeenCalledOnce();
});

it('tells staff once what goes amiss, however often it does', async () => {
  const board = new Board();
  const fails = async () => {
    throw new Error('The lamp is out.');
  };
  await board.attempt(fails);
  await board.attempt(fails);
  expect(await board.quietly(fails(), 7)).toBe(7);
  expect(await board.quietly(Promise.resolve(8), 7)).toBe(8);
  expect(board.state().notices).toEqual(['The lamp is out.']);
});
