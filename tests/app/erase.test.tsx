// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, expect, it, vi } from 'vitest';
import { Erase } from '../../src/app/staff/Erase';
import { KeptFor } from '../../src/app/staff/KeptFor';

afterEach(cleanup);

const press = (name: string) => userEvent.click(screen.getByRole('button', { name }));
const focused = () => document.activeElement?.textContent;

it('erases only after it has asked once more, and the focus goes along', async () => {
  const erase = vi.fn();
  render(<Erase unfiled={false} onErase={erase} />);
  await press('Erase this visit');
  expect(focused()).toBe('Keep it');
  await userEvent.keyboard('{Enter}');
  expect(focused()).toBe('Erase this visit');
  expect(erase).not.toHaveBeenCalled();
  await userEvent.keyboard('{Enter}');
  expect(screen.queryByText(/will not be filed/)).toBe(null);
  await press('Erase it for good');
  expect(erase).toHaveBeenCalledTimes(1);
});

it('takes no focus as it appears, and says when a visit has not been filed', async () => {
  render(<Erase unfiled onErase={() => {}} />);
  expect(document.activeElement).toBe(document.body);
  await press('Erase this visit');
  expect(screen.getByText(/waits to be filed in the record, and will not be filed/)).toBeTruthy();
});

it('says for how long visits are kept, which stay, and what is the matter with the clock', async () => {
  const clock = vi.fn();
  const view = { keepDays: 30, waiting: 0, misdated: 0, clock: 'right' as const };
  const { rerender } = render(<KeptFor view={view} onClock={clock} />);
  expect(document.body.textContent).toBe('Finished visits are erased 30 days after their last entry.');
  rerender(<KeptFor view={{ keepDays: 1, waiting: 2, misdated: 1, clock: 'far' }} onClock={clock} />);
  expect(screen.getByText(/a day after their last entry/)).toBeTruthy();
  expect(screen.getByText('2 visits whose time is over stay until filed in the record.')).toBeTruthy();
  expect(screen.getByText(/1 visit ended while the clock of this device was wrong, and stays/)).toBeTruthy();
  await press('The clock is right');
  expect(clock).toHaveBeenCalledTimes(1);
});
