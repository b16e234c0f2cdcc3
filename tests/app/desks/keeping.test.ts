import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { KeepingDesk } from '../../../src/app/desks/keeping';
import { limits, StaffRoom } from '../../../src/app/desks/staffRoom';
import { readSite } from '../../../src/app/site';
import { openStore } from '../../../src/records/open';
import { visitId, wholeVisit } from '../../records/fixtures';
import { accessOf, device, odo, rue } from '../../records/seal/kiosk';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  vi.useRealTimers();
});

async function desk({ sealed = true } = {}) {
  const one = device();
  const troubles: string[] = [];
  const store = await openStore({ ...one.options, onTrouble: ({ message }) => troubles.push(message) });
  const room = new StaffRoom(
    () => store,
    () => {},
    () => {},
    new EventTarget(),
  );
  if (sealed) await room.setUp(rue);
  const keeping = new KeepingDesk({
    store: () => store,
    room: async () => room,
    idle: () => true,
    turn: () => {},
    opened: (_again, work) => work(),
    gone: async () => {},
    onChange: () => {},
    onTrouble: (sentence) => troubles.push(sentence),
  });
  const trail = async () =>
    (await (await accessOf(store)).trail()).entries.map(({ who, what, visit }) => [who, what, visit]);
  return { ...one, store, room, keeping, trail, troubles };
}

describe('a visit that staff erase', () => {
  test('is gone, and the trail says who did it', async () => {
    const one = await desk();
    await one.store.append(visitId, wholeVisit);
    await one.keeping.erase(visitId);
    expect(await one.store.list()).toEqual([]);
    expect((await one.trail()).at(-1)).toEqual(['rue', 'erased', visitId]);
  });

  test('stays while the records are closed', async () => {
    const one = await desk();
    await one.store.append(visitId, wholeVisit);
    await one.room.close('by hand');
    await expect(one.keeping.erase(visitId)).rejects.toThrow(/closed/);
    expect(await one.store.list()).toHaveLength(1);
  });

  test('is written down as well where nothing is sealed and nobody has said who they are', async () => {
    const one = await desk({ sealed: false });
    await one.store.append(visitId, wholeVisit);
    await one.keeping.erase(visitId);
    expect(await one.store.list()).toEqual([]);
    expect(await one.trail()).toEqual([['', 'erased', visitId]]);
  });
});

describe('a restore', () => {
  test('in an empty kiosk leaves the records open for a while, and then they close by themselves', async () => {
    const old = await desk();
    await old.store.append(visitId, wholeVisit);
    const { file, visits } = await old.keeping.save(rue.secret, () => {});
    expect(visits).toBe(1);
    globalThis.indexedDB = new IDBFactory();
    const fresh = await desk({ sealed: false });
    const seen = await fresh.keeping.look(file, () => {});
    expect(seen).toMatchObject({ ids: ['rue'], code: true, sameWard: null });
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date'] });
    await fresh.keeping.restore(seen, { id: rue.id, secret: rue.secret }, () => {});
    expect(fresh.room.session?.id).toBe('rue');
    vi.advanceTimersByTime(limits.idle + 1);
    expect(fresh.room.session).toBe(null);
  });

  test('that takes long is not cut off for want of a touch; one that was closed by hand is', async () => {
    const one = await desk();
    await one.store.append(visitId, wholeVisit);
    const { file } = await one.keeping.save(rue.secret, () => {});
    const seen = await one.keeping.look(file, () => {});
    const present = vi.spyOn(one.room, 'present');
    await one.keeping.restore(seen, { id: rue.id, secret: rue.secret }, () => {});
    expect(present).toHaveBeenCalled();
    const before = await one.trail();
    const going = one.keeping.restore(seen, { id: rue.id, secret: rue.secret }, () => {
      void one.room.close('by hand');
    });
    await expect(going).rejects.toThrow(/closed meanwhile, so nothing was restored/);
    expect((await one.trail()).slice(before.length).map(([, what]) => what)).toEqual(['closed']);
  });

  test('of a file without the id that is named opens nothing', async () => {
    const one = await desk();
    const { file } = await one.keeping.save(rue.secret, () => {});
    const seen = await one.keeping.look(file, () => {});
    const going = one.keeping.restore(seen, { id: odo.id, secret: odo.secret }, () => {});
    await expect(going).rejects.toThrow(/did not open the file/);
  });
});

test('visits are kept without limit unless the site says for how long, and the browser is asked to keep them', async () => {
  const one = await desk();
  const persist = vi.spyOn(one.store, 'persist');
  await one.keeping.open(readSite('{}').site);
  expect(persist).toHaveBeenCalledTimes(1);
  expect(await one.keeping.confirmClock()).toBe(undefined);
  expect((await (await accessOf(one.store)).ledger.clock()).memory.seen).toBe(null);
  await one.keeping.open(readSite('{"keepDays": 30}').site);
  await one.keeping.confirmClock();
  expect((await (await accessOf(one.store)).ledger.clock()).memory.seen).not.toBe(null);
  expect(one.troubles).toEqual([]);
});
