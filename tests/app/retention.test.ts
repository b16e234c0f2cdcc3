import { IDBFactory } from 'fake-indexeddb';
import { expect, test, vi } from 'vitest';
import { Retention, type RetentionView } from '../../src/app/retention';
import type { VisitFact } from '../../src/records/types';
import { otherId, started, visitId, wholeVisit } from '../records/fixtures';
import { accessOf, device, meddle, rue } from '../records/seal/kiosk';

const day = 86_400_000;
const ended = (visit: string, more: object = {}): VisitFact[] => [
  started({ visit, ...more }),
  { type: 'finished', how: 'completed' },
];

async function kiosk({ sealed = true, keepDays = 30, files = true } = {}) {
  globalThis.indexedDB = new IDBFactory();
  const one = device();
  const store = await one.open();
  const access = await accessOf(store);
  if (sealed) await access.setUp(rue);
  let view: RetentionView | null = null;
  const troubles: string[] = [];
  const state = { idle: true, ran: 0 };
  let wake = () => {};
  const waits: number[] = [];
  const retention = new Retention({
    store,
    access,
    keepDays,
    files,
    idle: () => state.idle,
    onChange: (now) => {
      view = now;
    },
    onTrouble: (sentence) => troubles.push(sentence),
    now: () => one.options.now!().getTime(),
    ran: () => state.ran,
    later: (ms, work) => {
      waits.push(ms);
      wake = work;
    },
  });
  return {
    ...one,
    store,
    access,
    retention,
    state,
    troubles,
    waits,
    view: () => view,
    wake: () => wake(),
    visits: async () => (await store.list()).map(({ visit }) => visit).sort(),
    /** Days on which the kiosk is on, and looks. */
    async days(count: number) {
      for (let n = 0; n < count; n++) {
        one.pass(24 * 60);
        state.ran += day;
        await retention.look();
      }
    },
    trail: async () =>
      (await access.trail()).entries.map(({ who, what, visit }) => [who, what, visit].join(' ')),
  };
}

test('a visit goes with all that belongs to it when its time is over, and the trail says which', async () => {
  const one = await kiosk();
  await one.store.append(visitId, wholeVisit);
  one.store.putDown();
  await one.days(20);
  await one.store.append(otherId, ended(otherId));
  await one.days(10);
  expect(await one.visits()).toEqual([visitId, otherId].sort());
  await one.days(1);
  expect(await one.visits()).toEqual([otherId]);
  expect((await one.trail()).filter((entry) => entry.includes('expired'))).toEqual([` expired ${visitId}`]);
  expect((await one.access.trail()).broken).toBe(null);
  expect((await one.access.trail()).entries.at(-1)?.detail).toBe('after 30 days');
  const lies = await meddle(async (db) =>
    Promise.all(['visits', 'events', 'keys', 'outbox'].map((name) => db.getAllKeys(name as 'events'))),
  );
  // The trail names it, nothing else does.
  expect(JSON.stringify(lies)).not.toContain(visitId);
  expect(one.troubles).toEqual([]);
});

test('records that are not sealed are kept no longer, and it is written down too', async () => {
  const one = await kiosk({ sealed: false });
  await one.store.append(visitId, wholeVisit);
  await one.days(31);
  expect(await one.visits()).toEqual([]);
  expect(await one.trail()).toEqual([` expired ${visitId}`]);
});

test('a visit that waits to be filed or has not ended stays, and staff are told', async () => {
  const one = await kiosk();
  await one.store.append(visitId, ended(visitId, { visit: visitId, recordNumber: 'A-19' }));
  await one.store.append(otherId, [started({ visit: otherId })]);
  await one.days(40);
  expect(await one.visits()).toEqual([visitId, otherId].sort());
  expect(one.view()).toEqual({ keepDays: 30, waiting: 1, misdated: 0, clock: 'right' });
  const [row] = await one.store.outbox();
  await one.store.saveOutbox({ ...row!, state: 'filed', filedAt: '2026-04-11T00:00:00Z' });
  await one.days(1);
  expect(await one.visits()).toEqual([otherId]);
});

test('where nothing is filed, a visit with a record number waits for nothing', async () => {
  const one = await kiosk({ files: false });
  await one.store.append(visitId, ended(visitId, { recordNumber: 'A-91' }));
  await one.days(31);
  expect(await one.visits()).toEqual([]);
});

test('nothing is erased while somebody is there, and it is looked at again soon', async () => {
  const one = await kiosk();
  await one.store.append(visitId, wholeVisit);
  await one.days(29);
  one.state.idle = false;
  await one.days(5);
  expect(await one.visits()).toEqual([visitId]);
  one.retention.begin();
  const before = one.waits.length;
  one.wake();
  expect(one.waits.length).toBe(before + 1);
  one.state.idle = true;
  one.wake();
  await vi.waitFor(async () => expect(await one.visits()).toEqual([]));
});

test('a clock that jumps erases nothing, until it has run evenly for a day', async () => {
  const one = await kiosk();
  await one.store.append(visitId, wholeVisit);
  await one.days(1);
  one.pass(400 * 24 * 60);
  await one.retention.look();
  expect(await one.visits()).toEqual([visitId]);
  expect(one.view()?.clock).toBe('far');
  // It jumped while the page ran, so what it ran proves nothing.
  await one.days(3);
  expect(one.view()?.clock).toBe('far');
  expect(await one.visits()).toEqual([visitId]);
  const again = await reopened(one);
  await again.days(1);
  expect(again.view()?.clock).toBe('right');
  expect(await again.visits()).toEqual([]);
});

test('or until somebody of the staff says that it is right, which the trail holds', async () => {
  const one = await kiosk();
  await one.store.append(visitId, wholeVisit);
  one.pass(60 * 24 * 60);
  await one.retention.look();
  expect(one.view()?.clock).toBe('far');
  await one.retention.confirmClock();
  expect(await one.visits()).toEqual([]);
  expect((await one.trail()).slice(-2)).toEqual(['rue clock-confirmed ', ` expired ${visitId}`]);
});

test('a clock that fell back erases nothing and is told, and visits of that time keep their wrong date', async () => {
  const one = await kiosk();
  await one.store.append(visitId, wholeVisit);
  one.pass(-9_000 * 24 * 60);
  await one.retention.look();
  expect(one.view()?.clock).toBe('behind');
  await one.store.append(otherId, ended(otherId));
  one.pass(9_000 * 24 * 60 + 60);
  await one.retention.look();
  expect(one.view()).toEqual({ keepDays: 30, waiting: 0, misdated: 1, clock: 'right' });
  expect(await one.visits()).toEqual([visitId, otherId].sort());
});

test('what cannot be written into the trail is not erased, and staff are told', async () => {
  const one = await kiosk();
  await one.store.append(visitId, wholeVisit);
  await one.days(29);
  const { last } = await one.access.ledger.clock();
  expect(last).not.toBe(null);
  const { entries } = await one.access.trail();
  await meddle((db) => db.put('trail', {}, entries.length));
  await one.days(3);
  expect(await one.visits()).toEqual([visitId]);
  expect(one.troubles.join()).toMatch(/could not be erased/);
});

/** The page is loaded again: the same disk and clock. */
async function reopened(one: Awaited<ReturnType<typeof kiosk>>) {
  let view: RetentionView | null = null;
  let ran = 0;
  const retention = new Retention({
    store: one.store,
    access: one.access,
    keepDays: 30,
    files: true,
    idle: () => true,
    onChange: (now) => {
      view = now;
    },
    onTrouble: () => {},
    now: () => one.options.now!().getTime(),
    ran: () => ran,
    later: () => {},
  });
  return {
    view: () => view as RetentionView | null,
    visits: one.visits,
    async days(count: number) {
      one.pass(count * 24 * 60);
      ran += count * day;
      await retention.look();
    },
  };
}
