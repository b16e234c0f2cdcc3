// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, expect, it, vi } from 'vitest';
import type { PersonEvent } from '../../machines';
import { KioskPage } from '../../src/app/KioskPage';
import type { Kiosk } from '../../src/app/kiosk';
import { loadLesson } from '../../src/app/lessons';
import { downloadJson } from '../../src/app/shared/download';
import { readSite } from '../../src/app/site';
import { derive } from '../../src/records/derive';
import type { VisitFact } from '../../src/records/types';
import { World } from '../machines/harness';
import { start, timings } from '../machines/lesson';

vi.mock('../../src/app/shared/download', () => ({ downloadJson: vi.fn() }));

afterEach(cleanup);

const lesson = await loadLesson('inhaler-spacer', 'en');
const { screens: words } = lesson.common;

/** A visit that was stopped, of which the store gives back this. */
async function ends(stored: () => Promise<unknown>) {
  const world = new World();
  const actor = world.startKiosk();
  const steps = lesson.module.steps.map(({ id }) => id);
  actor.send({ type: 'STAFF' });
  actor.send({ type: 'START', visit: { start: { ...start, steps }, lesson, timings, past: [] } });
  await world.settle();
  const person = (event: PersonEvent) => actor.send({ type: 'PERSON', event });
  // The first pauses.
  for (let press = 0; press < 2; press++) {
    person({ type: 'STOP' });
    await world.pass(1000, 100);
  }
  const parts = { actor, lesson, person, stored, close: vi.fn(), present: () => {}, inMemory: false };
  render(
    <KioskPage
      kiosk={parts as unknown as Kiosk}
      state={{ page: { at: 'kiosk' }, idle: null, site: readSite('{}').site, outbox: null, notices: [] }}
    />,
  );
  return parts;
}

it('a visit whose log cannot be read any more still ends on a screen, which says so and can be closed', async () => {
  const { close } = await ends(async () => null);
  expect((await screen.findByRole('alert')).textContent).toBe(words.unreadable);
  expect(screen.queryByRole('button', { name: words.print })).toBeNull();
  expect(screen.queryByRole('button', { name: words.save })).toBeNull();
  await userEvent.click(screen.getByRole('button', { name: words.close }));
  expect(close).toHaveBeenCalledOnce();
});

it('what is saved at the end holds what was stored after the screen was drawn', async () => {
  const facts: VisitFact[] = [
    { type: 'visit-started', start: { ...start, steps: lesson.module.steps.map(({ id }) => id) } },
    { type: 'finished', how: 'stopped' },
  ];
  const at = '2026-03-02T14:05:00.000Z';
  let written = 1;
  await ends(async () => {
    const events = facts.slice(0, written).map((fact, seq) => ({ visit: start.visit, seq, at, fact }));
    return { record: derive(events, lesson), lesson };
  });
  const save = await screen.findByRole('button', { name: words.save });
  written = 2;
  await userEvent.click(save);
  expect(vi.mocked(downloadJson).mock.calls).toEqual([
    [`ownwords-summary-${start.visit}.json`, expect.objectContaining({ state: 'stopped' })],
  ]);
});
