import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { limits, StaffRoom } from '../../../src/app/desks/staffRoom';
import type { Access, Session } from '../../../src/records/seal/access';
import type { VisitStore } from '../../../src/records/types';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

/** Records whose secret is "open". What began before they were closed opens nothing, as with the real ones. */
function room() {
  const closed: string[] = [];
  const tried: string[] = [];
  let session: Session | null = null;
  let closings = 0;
  let fetching: Promise<void> | null = null;
  let wait: Promise<void> | null = null;
  const access = {
    get session() {
      return session;
    },
    opens: async (id: string, secret: string) => {
      const since = closings;
      tried.push(id);
      await wait;
      if (secret !== 'open') throw new Error('That did not open.');
      if (since === closings) session = { id, name: id };
      return since === closings;
    },
    open: async (id: string, secret: string) => {
      if (!(await access.opens(id, secret))) throw new Error('The records were closed meanwhile.');
    },
    openInEmergency: (name: string, _reason: string, code: string) => access.open(name, code),
    setUp: async ({ id, secret }: { id: string; secret: string }) => {
      await access.opens(id, secret);
      return 'CODE';
    },
    close: async (why: string) => {
      closings += 1;
      session = null;
      closed.push(why);
    },
  };
  const fetched = async () => {
    await fetching;
    return access as unknown as Access;
  };
  const store = { sealed: true, access: () => fetched() };
  const signs = new EventTarget();
  const onClosed = vi.fn();
  const said: string[] = [];
  return {
    said,
    room: new StaffRoom(
      () => store as unknown as VisitStore,
      onClosed,
      (text) => said.push(text),
      signs,
    ),
    touch: () => signs.dispatchEvent(new Event('pointerdown')),
    key: () => signs.dispatchEvent(new Event('keydown')),
    closed,
    tried,
    onClosed,
    /** Opening, or fetching what opens, takes until it is let go. */
    slow: (what: 'opening' | 'fetching' = 'opening') => {
      let letGo = () => {};
      const until = new Promise<void>((done) => {
        letGo = done;
      });
      if (what === 'opening') wait = until;
      else fetching = until;
      return () => letGo();
    },
  };
}

test('may be open for 2 minutes without a sign of anybody, and for 15 in all', () => {
  expect(limits).toEqual({ idle: 2 * 60_000, most: 15 * 60_000 });
});

test('closes when nobody touches anything, and a touch or a key puts it off', async () => {
  const { room: one, touch, key, closed, onClosed } = room();
  await one.open('rue', 'open');
  vi.advanceTimersByTime(limits.idle - 1);
  touch();
  vi.advanceTimersByTime(limits.idle - 1);
  key();
  vi.advanceTimersByTime(limits.idle - 1);
  expect(one.session).not.toBe(null);
  vi.advanceTimersByTime(1);
  expect(one.session).toBe(null);
  expect(closed).toEqual(['nobody touched anything']);
  expect(onClosed).toHaveBeenCalledTimes(1);
});

test('says so 20 seconds before it closes, and a touch takes that back', async () => {
  const { room: one, touch, said } = room();
  await one.open('rue', 'open');
  vi.advanceTimersByTime(limits.idle - 20_001);
  touch();
  expect(said).toEqual([]);
  vi.advanceTimersByTime(limits.idle - 20_000);
  expect(said).toEqual([expect.stringMatching(/close in 20 seconds. Touch anything/)]);
  touch();
  expect(said.at(-1)).toBe('');
  vi.advanceTimersByTime(limits.idle);
  expect(said.at(-1)).toBe('');
  expect(one.session).toBe(null);
});

test('closes after a while however much is touched', async () => {
  const { room: one, touch, closed, said } = room();
  await one.open('rue', 'open');
  for (let minute = 0; minute < 15; minute += 1) {
    expect(one.session).not.toBe(null);
    vi.advanceTimersByTime(60_000);
    touch();
  }
  expect(one.session).toBe(null);
  expect(closed).toEqual(['open for as long as may be']);
  expect(said.at(-2)).toMatch(/as long as may be/);
});

test('is closed by the first touch after the device has slept', async () => {
  const { room: one, touch, closed } = room();
  await one.open('rue', 'open');
  // Timers stood still.
  vi.setSystemTime(Date.now() + limits.idle + 1);
  touch();
  expect(closed).toEqual(['nobody touched anything']);
});

test('closed by hand, nothing of it goes on', async () => {
  const { room: one, closed } = room();
  await one.open('rue', 'open');
  await one.close('by hand');
  vi.advanceTimersByTime(limits.most);
  expect(closed).toEqual(['by hand']);
  await one.open('rue', 'open');
  vi.advanceTimersByTime(limits.idle - 1);
  expect(one.session).not.toBe(null);
});

test('left before anybody has opened, the records are told so', async () => {
  const { room: one, closed } = room();
  await one.prepare();
  await one.close('left');
  expect(closed).toEqual(['left']);
});

test('a secret that does not open leaves it closed and starts no clock', async () => {
  const { room: one, closed } = room();
  await expect(one.open('rue', 'sesame')).rejects.toThrow('did not open');
  vi.advanceTimersByTime(limits.most);
  expect(one.session).toBe(null);
  expect(closed).toEqual([]);
});

const ways: [string, 'open' | 'openInEmergency' | 'setUp'][] = [
  ['a secret', 'open'],
  ['the code', 'openInEmergency'],
  ['the first secret', 'setUp'],
];
const opening = (one: StaffRoom, how: (typeof ways)[number][1]): Promise<string> =>
  ({
    open: () => one.open('rue', 'open'),
    openInEmergency: () => one.openInEmergency('R. Quillon', 'It has to be', 'open'),
    setUp: () => one.setUp({ id: 'rue', name: 'R. Quillon', secret: 'open' }),
  })
    [how]()
    .then(
      () => 'done',
      (cause: Error) => cause.message,
    );

test.each(ways)(
  'whoever goes away while %s is looked at leaves closed records behind',
  async (_what, how) => {
    const { room: one, closed, tried, slow } = room();
    await one.prepare();
    const letGo = slow();
    const result = opening(one, how);
    await vi.advanceTimersByTimeAsync(0);
    expect(tried).toHaveLength(1);
    await one.close('left');
    letGo();
    // A code is shown once, whatever else: it may still be written down.
    expect(await result).toBe(how === 'setUp' ? 'done' : 'The records were closed meanwhile.');
    expect(one.session).toBe(null);
    // No clock runs that would close them once more.
    vi.advanceTimersByTime(limits.most);
    expect(closed).toEqual(['left']);
  },
);

test.each(ways)('whoever goes away before %s could be looked at has tried nothing', async (_what, how) => {
  const { room: one, tried, slow } = room();
  const letGo = slow('fetching');
  const result = opening(one, how);
  await one.close('left');
  letGo();
  expect(await result).toBe('The records were closed meanwhile. Open them again.');
  expect(tried).toEqual([]);
  expect(one.session).toBe(null);
});
