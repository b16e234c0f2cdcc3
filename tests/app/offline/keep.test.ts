import { expect, test } from 'vitest';
import type { OfflineNews } from '../../../src/app/offline/files';
import { type Browser, Offline } from '../../../src/app/offline/keep';

class FakeWorker extends EventTarget {
  state = 'installing';
  told: unknown[] = [];
  postMessage(what: unknown) {
    this.told.push(what);
  }
  becomes(state: string) {
    this.state = state;
    this.dispatchEvent(new Event('statechange'));
  }
}

/** A browser with or without a copy from before. */
function world({ before = false, refuses = false } = {}) {
  const registration = Object.assign(new EventTarget(), {
    installing: null as FakeWorker | null,
    waiting: null as FakeWorker | null,
    active: before ? new FakeWorker() : null,
    update: async () => {},
  });
  const container = Object.assign(new EventTarget(), { controller: before ? {} : null });
  const all = { reloads: 0, idle: true, ticks: [] as (() => void)[] };
  const browser: Browser = {
    container: container as never,
    register: async () => {
      if (refuses) throw new Error('no room');
      return registration as never;
    },
    version: async () => ({ version: '1.0.0+abc', files: 3, bytes: 9 }),
    reload: () => {
      all.reloads += 1;
    },
    every: (_ms, act) => void all.ticks.push(act),
  };
  const offline = new Offline(browser, () => all.idle);
  return Object.assign(all, {
    offline,
    registration,
    news: (data: OfflineNews) => container.dispatchEvent(new MessageEvent('message', { data })),
    finds: () => {
      const worker = new FakeWorker();
      registration.installing = worker;
      registration.dispatchEvent(new Event('updatefound'));
      return worker;
    },
    changes: () => container.dispatchEvent(new Event('controllerchange')),
    passes: () => {
      for (const act of all.ticks) act();
    },
  });
}

test('tells how far the first copy is, and when it is whole', async () => {
  const w = world();
  await w.offline.start();
  const worker = w.finds();
  w.news({ news: 'stored', url: '/a' });
  w.news({ news: 'stored', url: '/a' });
  w.news({ news: 'stored', url: '/b' });
  expect(w.offline.state()).toMatchObject({ copy: 'storing', stored: 2, files: 3, version: '1.0.0+abc' });
  worker.becomes('installed');
  worker.becomes('activated');
  expect(w.offline.state()).toMatchObject({ copy: 'whole', waiting: false });
  w.changes();
  expect(w.reloads).toBe(0);
});

test('names the file that is not what was built', async () => {
  const w = world();
  await w.offline.start();
  const worker = w.finds();
  w.news({ news: 'failed', url: '/model/a.bin', why: 'integrity' });
  worker.becomes('redundant');
  expect(w.offline.state()).toMatchObject({
    copy: 'broken',
    problem: expect.stringContaining('/model/a.bin'),
  });
});

test('takes up a newer copy only once nobody is in a visit, and says so until then', async () => {
  const w = world({ before: true });
  w.idle = false;
  await w.offline.start();
  const worker = w.finds();
  w.registration.waiting = worker;
  worker.becomes('installed');
  w.passes();
  expect(w.offline.state()).toMatchObject({ copy: 'whole', waiting: true });
  expect(worker.told).toEqual([]);
  w.idle = true;
  w.passes();
  expect(worker.told).toEqual(['take-over']);
});

test('loads itself again when a newer copy has taken over, but not in a visit that has begun meanwhile', async () => {
  const w = world({ before: true });
  await w.offline.start();
  w.idle = false;
  w.changes();
  expect(w.reloads).toBe(0);
  w.idle = true;
  w.passes();
  expect(w.reloads).toBe(1);
});

test('where workers are blocked there is no copy, and nothing is amiss', async () => {
  const offline = new Offline(
    {
      container: Object.assign(new EventTarget(), { controller: null }) as never,
      register: async () => undefined,
      version: async () => ({ version: '1.0.0+abc', files: 3, bytes: 9 }),
      reload: () => {},
      every: () => {},
    },
    () => true,
  );
  await offline.start();
  expect(offline.state()).toMatchObject({ copy: 'none', problem: '' });
});

test('a browser that keeps no copies is told of, and nothing else happens', async () => {
  const w = world({ refuses: true });
  await w.offline.start();
  expect(w.offline.state()).toMatchObject({ copy: 'none', problem: expect.stringContaining('no room') });
});
