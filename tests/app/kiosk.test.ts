// @vitest-environment happy-dom
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Kiosk } from '../../src/app/kiosk';
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

it('of a kiosk whose visits the browser has thrown away, staff are told that, and not that it is new', async () => {
  const opened = async () => {
    const kiosk = new Kiosk();
    await kiosk.open();
    return kiosk.state();
  };
  expect(await opened()).toMatchObject({ isNew: true, notices: [] });
  vi.mocked(openStore).mockImplementation(async ({ onLoss }) => {
    onLoss?.('All visits on this device are lost.');
    return new Store();
  });
  const { isNew, notices } = await opened();
  expect([isNew, notices]).toEqual([
    undefined,
    [expect.stringContaining('All visits on this device are lost')],
  ]);
});
