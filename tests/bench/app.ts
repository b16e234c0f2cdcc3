import { readFileSync } from 'node:fs';
import { loadavg } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { readTeaching } from '../../phrasebanks/read';
import { build, dist } from '../../src/commands/prepare.mjs';
import { openDevice } from '../browser/chromium';
import { listenIn } from '../browser/dark';
import { look, startPractice } from '../browser/visit';
import { en } from '../browser/words';
import { goal } from './figures';

/*
 * npm run bench:app: how soon the kiosk is there and speaks, and how much of it is fetched, on the built and served
 * app in Debian's Chromium. Goals of our own: the first sentence within 1 s of the press, at most 220 kB of learner's
 * code (gzip, without engines, texts and letters), ready for touch within 3 s on a processor a quarter as fast.
 */

const rounds = 5;
const calm = () => `load average ${loadavg()[0]!.toFixed(2)}`;
const ms = (value: number) => `${value.toFixed(0)} ms`;
const kB = (bytes: number) => `${(bytes / 1000).toFixed(1)} kB`;
const middle = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]!;

/** What a file is for, by its name in the build. The workers are the engines, with the words they know; a lesson's texts are its chunks. */
function kindOf(path: string): 'code' | 'engine' | 'texts' | 'letters' | 'pictures' {
  if (
    /worker|recogniser|rnnoise|\/(english|french|everyday)-|soundswallower|\.wasm$|worklet|^\/model\/|^\/voice|\.data$|browser-external/.test(
      path,
    )
  )
    return 'engine';
  if (/\.woff2$/.test(path)) return 'letters';
  if (/\.(svg|png)$/.test(path)) return 'pictures';
  if (/\.(judging|teaching)-|\/(en|es|fr|module)-|\.json$/.test(path)) return 'texts';
  return 'code';
}

/** Everything asked for until the first teaching, gzipped, bytes by kind. */
async function benchSize(): Promise<void> {
  const kiosk = await openDevice({ microphone: 'script' });
  try {
    const { page } = kiosk;
    const paths = new Set<string>();
    page.on('response', (response) => {
      const { pathname } = new URL(response.url());
      if (response.ok()) paths.add(pathname === '/' ? '/index.html' : pathname);
    });
    await page.reload();
    await startPractice(page);
    await toTeaching(page);
    // The staff's pages and what opens records come by themselves after a while; they are no part of what a learner needs.
    const mine = [...paths].filter(
      (path) => !/\/(pages|staffRoom|access|sealer)-[^/]*\.(js|css)$/.test(path),
    );
    const sums = new Map<string, number>();
    for (const path of mine) {
      const size = gzipSync(readFileSync(join(dist, path)), { level: 9 }).length;
      sums.set(kindOf(path), (sums.get(kindOf(path)) ?? 0) + size);
      if (kindOf(path) === 'code') console.log(`          ${kB(size).padStart(9)}  ${path}`);
    }
    for (const [kind, size] of sums)
      if (kind !== 'code') console.log(`          ${kB(size).padStart(9)}  ${kind}`);
    const code = sums.get('code') ?? Number.NaN;
    goal(`the learner's code, styles and page: ${kB(code)} gzipped (goal 220 kB)`, code <= 220_000);
  } finally {
    await kiosk.close();
  }
}

/** Through the sound check by its buttons. @returns when the last button before the teaching was pressed, page time */
async function toTeaching(page: Page): Promise<number> {
  let at = 0;
  await soon('the teaching', async () => {
    const pressed = await page.evaluate(
      ([yes, no]) => {
        const captions = document.querySelector('[data-captions]')?.textContent ?? '';
        const name = /question/i.test(captions) ? no : yes;
        // The last press is measured from: what sounded before must not be taken for what comes after.
        if (name === no && (window.loudness?.() ?? -120) > -90) return null;
        const button = [...document.querySelectorAll('button')].find((one) => one.textContent === name);
        const now = performance.now();
        button?.click();
        return button ? now : null;
      },
      [en.yes, en.no] as const,
    );
    at = pressed ?? at;
    return (await look(page)).screen === 'explain';
  });
  return at;
}

/** Does something again and again until it holds. Fails after a minute. */
async function soon(what: string, holds: () => Promise<boolean>): Promise<void> {
  const end = Date.now() + 60_000;
  while (!(await holds())) {
    if (Date.now() > end) throw new Error(`waited a minute for ${what}`);
    await new Promise((done) => setTimeout(done, 100));
  }
}

/** When the loudspeaker first sounds after `from`, at which it was quiet; page time. Runs in the page from before. */
function hearSpeaker(): void {
  const moments: { at: number; level: number }[] = [];
  const watch = () => {
    moments.push({ at: performance.now(), level: window.loudness?.() ?? -120 });
    if (moments.length > 20_000) moments.shift();
    setTimeout(watch, 5);
  };
  watch();
  Object.assign(window, {
    soundAfter: (from: number) => {
      const later = moments.filter(({ at }) => at >= from);
      if ((later[0]?.level ?? -120) > -70) throw new Error('the loudspeaker was not quiet at the press');
      return later.find(({ level }) => level > -50)?.at ?? null;
    },
  });
}
declare global {
  interface Window {
    soundAfter(from: number): number | null;
    seen: { idle: number; tasks: { start: number; end: number }[] };
  }
}

async function soundAfter(page: Page, from: number): Promise<number> {
  const found = await page.waitForFunction((at) => window.soundAfter(at), from, { timeout: 20_000 });
  return ((await found.jsonValue()) as number) - from;
}

/** From the press to the first sound, with everything loaded: of a visit, and of its teaching. */
async function benchVoice(): Promise<void> {
  const kiosk = await openDevice({ microphone: 'script' });
  try {
    const { page } = kiosk;
    await page.context().addInitScript(hearSpeaker);
    await listenIn(kiosk);
    const session = await page.context().newCDPSession(page);
    const [firstOf, teaching]: [number[], number[]] = [[], []];
    // A step begins with its name.
    const lead = Object.values(readTeaching('inhaler-spacer', 'en').steps)[0]!.title;
    // The first round fills the caches.
    for (let round = 0; round <= rounds; round++) {
      // Files stay in the cache; the visit of the round before does not, or it would be offered again.
      await session.send('Storage.clearDataForOrigin', { origin: kiosk.address, storageTypes: 'indexeddb' });
      await page.reload();
      await page.getByRole('button', { name: en.practice, exact: true }).waitFor();
      await page.waitForTimeout(5_000);
      const start = await page.evaluate((name) => {
        const button = [...document.querySelectorAll('button')].find((one) => one.textContent === name);
        const at = performance.now();
        button?.click();
        return at;
      }, en.practice);
      const first = await soundAfter(page, start);
      const pressed = await toTeaching(page);
      const said = await soundAfter(page, pressed);
      const spoken = await page.evaluate(() => window.voiceText ?? []);
      if (!spoken.some((text) => text.includes(lead)))
        throw new Error(`"${lead}" was not said, but ${JSON.stringify(spoken.slice(-2))}`);
      if (round > 0) {
        firstOf.push(first);
        teaching.push(said);
      }
    }
    const told = (values: number[]) => `${ms(middle(values))} (slowest ${ms(Math.max(...values))})`;
    goal(
      `from the press on Practice visit to its first sound: ${told(firstOf)}, ${rounds} visits; goal 1,000 ms`,
      middle(firstOf) <= 1000,
    );
    goal(
      `from the press before the teaching to its first sound: ${told(teaching)}; goal 1,000 ms; ${calm()}`,
      middle(teaching) <= 1000,
    );
  } finally {
    await kiosk.close();
  }
}

/** Runs before the page's own script: when the idle screen can be touched, and every long task. */
function watchStart(): void {
  window.seen = { idle: 0, tasks: [] };
  new PerformanceObserver((list) => {
    for (const { startTime, duration } of list.getEntries())
      window.seen.tasks.push({ start: startTime, end: startTime + duration });
  }).observe({ type: 'longtask', buffered: true });
  const look = () => {
    if (document.querySelector('[data-screen=idle] button')) window.seen.idle = performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

/**
 * Time to interactive: the idle screen is there, and no task of more than 50 ms comes for the next five seconds (as
 * Lighthouse had it). Nothing in the cache; the processor four times as slow by the browser's own throttle.
 */
async function benchStart(): Promise<void> {
  const times: number[] = [];
  const shown: number[] = [];
  for (let round = 0; round < 3; round++) {
    const kiosk = await openDevice({ microphone: 'script' });
    try {
      const { page } = kiosk;
      const session = await page.context().newCDPSession(page);
      await session.send('Network.enable');
      await session.send('Network.setCacheDisabled', { cacheDisabled: true });
      await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
      await page.context().addInitScript(watchStart);
      await page.reload();
      await page.waitForFunction(() => window.seen.idle > 0, undefined, { timeout: 60_000 });
      let ready = 0;
      for (let quiet = false; !quiet; ) {
        await page.waitForTimeout(1_000);
        const { idle, tasks, now } = await page.evaluate(() => ({ ...window.seen, now: performance.now() }));
        ready = idle;
        for (const { start, end } of tasks) if (start < ready + 5_000) ready = Math.max(ready, end);
        quiet = now > ready + 5_000;
        if (round === 0 && quiet)
          console.log(
            `          idle screen after ${ms(idle)}; tasks of more than 50 ms: ${tasks
              .map(({ start, end }) => `${ms(end - start)} at ${ms(start)}`)
              .join(', ')}`,
          );
        if (quiet) shown.push(idle);
      }
      times.push(ready);
    } finally {
      await kiosk.close();
    }
  }
  goal(
    `ready for touch on a processor a quarter as fast: ${ms(middle(times))}, screen shown after ${ms(middle(shown))}; goal 3,000 ms; ${calm()}`,
    middle(times) < 3000,
  );
}

if (!build()) process.exit(1);
const only = process.argv.slice(2);
const wanted = (name: string) => only.length === 0 || only.includes(name);
if (wanted('size')) {
  console.log('\nWhat is fetched until a lesson begins');
  await benchSize();
}
if (wanted('start')) {
  console.log('\nUntil the kiosk can be touched');
  await benchStart();
}
if (wanted('voice')) {
  console.log('\nUntil it speaks');
  await benchVoice();
}
