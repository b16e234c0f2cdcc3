// @vitest-environment happy-dom
import { act, cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { PersonEvent } from '../../machines';
import { KioskPage } from '../../src/app/KioskPage';
import type { Kiosk } from '../../src/app/kiosk';
import { loadLesson } from '../../src/app/lessons';
import { readSite } from '../../src/app/site';
import type { KioskState } from '../../src/app/state';
import type { VisitStart } from '../../src/records/types';
import { World } from '../machines/harness';
import { start, timings } from '../machines/lesson';

afterEach(cleanup);

const lesson = await loadLesson('inhaler-spacer', 'en');
const { screens: words } = lesson.common;

/** A visit that waits, and nobody has done anything for so long. */
async function waits(ms: number, switches?: VisitStart['switches']) {
  const world = new World();
  const actor = world.startKiosk();
  actor.send({ type: 'STAFF' });
  const steps = lesson.module.steps.map(({ id }) => id);
  actor.send({
    type: 'START',
    visit: { start: { ...start, steps, ...(switches ? { switches } : {}) }, lesson, timings, past: [] },
  });
  await world.settle();
  const person = (event: PersonEvent) => actor.send({ type: 'PERSON', event });
  person({ type: 'PAUSE' });
  await world.pass(3000 + ms, 500);
  const parts = {
    actor,
    lesson,
    person,
    present: () => actor.send({ type: 'PRESENT' }),
    records: { list: vi.fn() },
    helpWhenParked: vi.fn(),
    name: vi.fn(),
  };
  const state: KioskState = {
    page: { at: 'kiosk' },
    idle: null,
    site: readSite('{}').site,
    outbox: null,
    notices: [],
  };
  render(<KioskPage kiosk={parts as unknown as Kiosk} state={state} />);
  const shown = () =>
    document.querySelector<HTMLElement>('[data-away]')?.dataset.away ??
    document.querySelector<HTMLElement>('[data-screen]')?.dataset.screen;
  return { ...parts, world, shown };
}

describe('nobody there', () => {
  it('a call for help from the question calls, though any touch wakes', async () => {
    const { world, shown } = await waits(60_000);
    expect(shown()).toBe('still-there');
    const [, help] = screen.getAllByRole('button', { name: words.help, hidden: true });
    await userEvent.click(help!);
    await act(() => world.settle());
    expect(world.calls).toHaveLength(1);
    expect(shown()).toBe('help');
  });

  it('and by the keyboard', async () => {
    const { world, shown } = await waits(60_000);
    const [, help] = screen.getAllByRole('button', { name: words.help, hidden: true });
    help!.focus();
    await userEvent.keyboard('{Enter}');
    await act(() => world.settle());
    expect(world.calls).toHaveLength(1);
    expect(shown()).toBe('help');
  });

  it('any other touch, and the button, are an answer', async () => {
    const asked = await waits(60_000);
    await userEvent.click(document.querySelector('[data-away] h1')!);
    expect(asked.shown()).toBe('paused');
    cleanup();
    const again = await waits(60_000);
    await userEvent.click(screen.getByRole('button', { name: words.here }));
    expect(again.shown()).toBe('paused');
    expect(again.world.calls).toEqual([]);
  });

  it('any key and any press of a switch are an answer, but Tab goes to the call for help', async () => {
    const asked = await waits(60_000);
    // As a browser does when a dialog opens.
    screen.getByRole('button', { name: words.here }).focus();
    await userEvent.keyboard('{Tab}');
    expect(asked.shown()).toBe('still-there');
    await userEvent.keyboard('x');
    expect(asked.shown()).toBe('paused');
    cleanup();
    const again = await waits(60_000, { keys: 'one', each: 2000 });
    expect(again.shown()).toBe('still-there');
    await userEvent.keyboard(' ');
    expect(again.shown()).toBe('paused');
    expect(again.world.calls).toEqual([]);
  });

  it('a call for help from the covered screen calls', async () => {
    const { world, shown } = await waits(95_000);
    expect(shown()).toBe('covered');
    await userEvent.click(screen.getByRole('button', { name: words.help }));
    await act(() => world.settle());
    expect(world.calls).toHaveLength(1);
    expect(shown()).toBe('help');
  });

  it('a call for help from a parked visit is handed on', async () => {
    const { helpWhenParked, records } = await waits(300_000);
    await userEvent.click(screen.getByRole('button', { name: words.help }));
    expect(helpWhenParked).toHaveBeenCalledOnce();
    expect(records.list).not.toHaveBeenCalled();
  });
});
