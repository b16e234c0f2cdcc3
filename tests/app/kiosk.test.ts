// @vitest-environment happy-dom
import { act, render } from '@testing-library/react';
import { createElement } from 'react';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { App } from '../../src/app/App';
import { Kiosk } from '../../src/app/kiosk';
// The app fetches them when they are wanted, which takes a busy machine seconds the first time.
import '../../src/app/staff/pages';
import { StoreError } from '../../src/records/errors';
import { MemoryStore } from '../../src/records/memory';
import { openStore } from '../../src/records/open';

vi.mock('../../src/records/open');

/** What the store gives of a visit. */
let log: () => ReturnType<MemoryStore['events']>;
class Store extends MemoryStore {
  override events = () => log();
}

beforeEach(() => {
  vi.stubGlobal('fetch', async () => new Response('{}'));
  vi.mocked(openStore).mockResolvedValue(new Store());
});
afterEach(() => {
  vi.unstubAllGlobals();
});

it.each<[string, typeof log, string]>([
  [
    'why, where the log cannot be read',
    async () => Promise.reject(new StoreError('lost')),
    'closed the saved visits',
  ],
  ['that its beginning is missing, where the log is there', async () => [], 'The beginning of this visit'],
])('of a visit that cannot be shown, staff are told only %s', async (_what, events, told) => {
  log = async () => [];
  const kiosk = new Kiosk();
  await kiosk.open();
  const before = kiosk.state().notices;
  log = events;
  expect(await kiosk.stored('a6a5a9a8-7f6f-4b8e-9a0e-0d1f2b3c4d5e')).toBeNull();
  const notices = kiosk.state().notices.slice(before.length);
  expect(notices).toEqual([expect.stringContaining(told)]);
});

it('of a kiosk whose visits the browser has lost, staff are told what happens, and not that it is new', async () => {
  const fresh = new Kiosk();
  await fresh.open();
  expect(fresh.state()).toMatchObject({ isNew: true, notices: [] });
  const kiosk = new Kiosk();
  const { container } = render(createElement(App, { kiosk }));
  expect(container.textContent).toBe('');
  let ready = () => {};
  vi.mocked(openStore).mockImplementation(async ({ onLoss, onPuttingBack }) => {
    onPuttingBack?.(25, 60);
    await new Promise<void>((done) => {
      ready = done;
    });
    onLoss?.('60 visits were lost.');
    return new Store();
  });
  let opening = Promise.resolve();
  await act(async () => {
    opening = kiosk.open();
    await vi.waitFor(() => expect(kiosk.state().page).toHaveProperty('puttingBack'));
  });
  await vi.waitFor(() => expect(container.textContent).toContain('25 of 60'));
  await act(async () => {
    ready();
    await opening;
  });
  expect(container.textContent).not.toContain('25 of 60');
  const { isNew, notices } = kiosk.state();
  expect([isNew, notices]).toEqual([undefined, ['60 visits were lost.']]);
});
