import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Kiosk, openDevice, openKiosk, whileOpen } from './chromium';
import { familyOf, left } from './processes';

/*
 * The harness must be able to fail: a microphone that is silent, a request that leaves, a crash that loses.
 * Tried on a page of a few lines, so that it says nothing about the app.
 */

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ownwords-tiny-'));
  writeFileSync(
    join(folder, 'index.html'),
    '<!doctype html><title>Tiny</title><script src="tiny.js"></script>',
  );
  writeFileSync(
    join(folder, 'tiny.js'),
    `window.buckets = () => navigator.storageBuckets;
    window.listen = async () => {
      const stream = await navigator.mediaDevices.getUserMedia({ audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false } });
      const context = new AudioContext();
      await context.resume();
      const meter = new AnalyserNode(context);
      new MediaStreamAudioSourceNode(context, { mediaStream: stream }).connect(meter);
      window.loudest = 0;
      const block = new Float32Array(meter.fftSize);
      setInterval(() => {
        meter.getFloatTimeDomainData(block);
        window.loudest = Math.max(window.loudest, ...block.map(Math.abs));
      }, 20);
    };`,
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

declare global {
  interface Window {
    /** The types of pages do not have them. */
    buckets(): { open(name: string): Promise<unknown>; keys(): Promise<string[]> };
    listen(): Promise<void>;
    loudest: number;
  }
}

test('what a test says reaches the stream that the page opened', async () => {
  await whileOpen(openKiosk({ folder, microphone: 'script' }), async ({ page, say }) => {
    const unheard = await say('Nobody listens yet.');
    expect(unheard.streams).toBe(0);
    await page.evaluate(() => window.listen());
    const played = await say('Shake it well, then take the cap off.');
    expect(played.streams).toBe(1);
    expect(played.peak).toBeGreaterThan(-40);
    expect(played.seconds).toBeGreaterThan(1.5);
    expect(await page.evaluate(() => window.loudest)).toBeGreaterThan(0.05);
  });
});

// That a refused one is refused is seen in trouble.test.ts.
test('a missing microphone is missing', async () => {
  await whileOpen(openKiosk({ folder, microphone: 'none' }), async ({ page }) => {
    expect(await page.evaluate(() => window.listen().catch((error) => error.name))).toBe('NotFoundError');
  });
});

test('a kiosk finds nothing that the one before it stored, and none of its pages', async () => {
  const address = await leaveBehind();
  await whileOpen(openKiosk({ folder, microphone: 'none' }), async (kiosk) => {
    // The same browser at the same address, or this would show nothing.
    expect(kiosk.address).toBe(address);
    expect(await kiosk.page.evaluate(found)).toEqual({
      cookie: '',
      local: 0,
      session: 0,
      databases: [],
      caches: [],
      files: [],
      buckets: [],
      history: 2,
      locks: 0,
    });
    expect(kiosk.page.context().pages()).toHaveLength(2);
  });
});

/** In a kiosk, wherever a page can keep something. @returns its address */
async function leaveBehind(): Promise<string> {
  const kiosk = await openKiosk({ folder, microphone: 'none' });
  try {
    await kiosk.page.evaluate(async () => {
      await cookieStore.set('kept', '1');
      localStorage.setItem('kept', '1');
      sessionStorage.setItem('kept', '1');
      await caches.open('kept');
      await (await navigator.storage.getDirectory()).getFileHandle('kept', { create: true });
      await window.buckets().open('kept');
      await new Promise((done) => {
        indexedDB.open('kept').onsuccess = done;
      });
      await new Promise<void>((granted) => {
        void navigator.locks.request('kept', () => {
          granted();
          return new Promise(() => {});
        });
      });
      window.open(location.href);
    });
    expect(await kiosk.page.evaluate(found)).toMatchObject({
      cookie: 'kept=1',
      local: 1,
      session: 1,
      databases: ['kept'],
      caches: ['kept'],
      files: ['kept'],
      buckets: ['kept'],
      locks: 1,
    });
    await expect.poll(() => kiosk.page.context().pages().length).toBe(3);
    return kiosk.address;
  } finally {
    await kiosk.close();
  }
}

/** Runs in the page. */
async function found() {
  const files: string[] = [];
  for await (const name of (await navigator.storage.getDirectory()).keys()) files.push(name);
  return {
    cookie: document.cookie,
    local: localStorage.length,
    session: sessionStorage.length,
    databases: (await indexedDB.databases()).map(({ name }) => name),
    caches: await caches.keys(),
    files,
    buckets: await window.buckets().keys(),
    history: history.length,
    locks: (await navigator.locks.query()).held?.length,
  };
}

test('a clock that a test held goes on in the kiosk after it', async () => {
  const year = ({ page }: Kiosk) => page.evaluate(() => new Date().getFullYear());
  await whileOpen(openKiosk({ folder, microphone: 'none' }), async (kiosk) => {
    await kiosk.page.clock.setFixedTime('2001-02-03T04:05:06Z');
    expect(await year(kiosk)).toBe(2001);
  });
  await whileOpen(openKiosk({ folder, microphone: 'none' }), async (kiosk) => {
    expect(await year(kiosk)).toBe(new Date().getFullYear());
  });
});

test('a second kiosk is not opened beside the first, and gets its turn when that is closed', async () => {
  await whileOpen(openKiosk({ folder, microphone: 'none' }), async () => {
    await expect(openKiosk({ folder, microphone: 'none' })).rejects.toThrow(/still open/);
  });
  await whileOpen(openKiosk({ folder, microphone: 'none' }), async ({ errors }) => {
    expect(errors).toEqual([]);
  });
});

test('a request that leaves the origin fails the test that made it', async () => {
  const kiosk = await openKiosk({ folder, microphone: 'none' });
  // Blocked by the policy of our own server, and still noticed on the console.
  await kiosk.page.evaluate(() => fetch('https://elsewhere.invalid/').catch(() => {}));
  expect(kiosk.errors.join()).toMatch(/Content Security Policy/);
  // A navigation is not covered by the policy.
  await kiosk.page.goto('http://elsewhere.invalid/').catch(() => {});
  expect(kiosk.outside.join()).toContain('elsewhere.invalid');
  await expect(kiosk.close()).rejects.toThrow(/elsewhere\.invalid/);
});

test('what was stored before a crash is there after it', async () => {
  await whileOpen(openDevice({ folder, microphone: 'none' }), async (kiosk) => {
    await kiosk.page.evaluate(
      () =>
        new Promise((done, fail) => {
          const request = indexedDB.open('tiny', 1);
          request.onerror = fail;
          request.onupgradeneeded = () => request.result.createObjectStore('kept');
          request.onsuccess = () => {
            const work = request.result.transaction('kept', 'readwrite', { durability: 'strict' });
            work.objectStore('kept').put('still here', 'key');
            work.oncomplete = done;
          };
        }),
    );
    const family = familyOf(kiosk.profileDir);
    expect(family.length).toBeGreaterThan(3);
    await kiosk.crash();
    // None of them is there to change the files any more.
    expect(left(family)).toEqual([]);
    await kiosk.reopen();
    const kept = await kiosk.page.evaluate(
      () =>
        new Promise((done) => {
          const request = indexedDB.open('tiny', 1);
          request.onsuccess = () => {
            const read = request.result.transaction('kept').objectStore('kept').get('key');
            read.onsuccess = () => done(read.result);
          };
        }),
    );
    expect(kept).toBe('still here');
  });
});

test('a path can be made to be missing', async () => {
  await whileOpen(openKiosk({ folder, microphone: 'none', missing: /tiny\.js$/ }), async ({ page }) => {
    expect(await page.evaluate(() => typeof window.listen)).toBe('undefined');
  });
});
