import { cpSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Page } from 'playwright-core';
import { build } from '../../src/commands/prepare.mjs';
import { openDevice } from '../browser/chromium';
import { isOver, isUp, look, press, type Sight, startPractice, touch, until } from '../browser/visit';
import { en } from '../browser/words';
import { goal } from './figures';

/*
 * npm run crashes [-- --kills 200 --seed 1]
 * Chromium is killed (SIGKILL) at random moments of practice visits by touch, and started again on the same profile:
 * each answer that was confirmed on the screen has to be in the stored visit, the log without gaps, and the visit to go
 * on at its step, and no visit may have fewer entries than it had. Some six seconds a kill. Exit status 1 when anything
 * was lost; what the browser had on its disk, and what it showed, is kept then and its place told.
 */

const { values } = parseArgs({
  options: { kills: { type: 'string', default: '200' }, seed: { type: 'string', default: '1' } },
});
const kills = Number(values.kills);
let seed = Number(values.seed);
const chance = () => {
  seed = (seed * 48_271) % 2_147_483_647;
  return seed / 2_147_483_647;
};

if (!build()) process.exit(1);
const kiosk = await openDevice({ microphone: 'none' });

/** An answer counts as confirmed once the screen responds to it. */
const confirmed = new Set<string>();
const note = ({ screen, step, attempt }: Sight) => {
  if (screen === 'respond' || screen === 'handover') confirmed.add(`${step} ${attempt}`);
};

interface Stored {
  seqs: number[];
  judged: string[];
  /** Entries of each visit. */
  entries: Record<string, number>;
  setAside: unknown[];
}

/** The newest visit as it lies on the disk. */
const stored = (page: Page): Promise<Stored> =>
  page.evaluate(
    () =>
      new Promise<Stored>((done, fail) => {
        const opening = indexedDB.open('ownwords');
        opening.onerror = () => fail(opening.error);
        opening.onsuccess = () => {
          const tx = opening.result.transaction(['visits', 'events', 'set-aside']);
          const visits = tx.objectStore('visits').getAll();
          const events = tx.objectStore('events').getAll();
          const setAside = tx.objectStore('set-aside').getAll();
          tx.oncomplete = () => {
            const newest = (visits.result as { visit: string; startedAt: string }[]).sort((a, b) =>
              b.startedAt.localeCompare(a.startedAt),
            )[0]?.visit;
            const own = (
              events.result as {
                visit: string;
                seq: number;
                fact: { type: string; step?: string; attempt?: number };
              }[]
            ).filter(({ visit }) => visit === newest);
            opening.result.close();
            const entries: Record<string, number> = {};
            for (const { visit } of events.result) entries[visit] = (entries[visit] ?? 0) + 1;
            done({
              entries,
              setAside: setAside.result,
              seqs: own.map(({ seq }) => seq),
              judged: own
                .filter(({ fact }) => fact.type === 'judged')
                .map(({ fact }) => `${fact.step} ${fact.attempt}`),
            });
          };
        };
      }),
  );

/** Keeps what there is to see of a loss, and tells where. */
async function evidence(kill: number, now: Stored, before: Stored['entries']): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), `crash-${kill}-`));
  const shown = await kiosk.page.locator('body').textContent();
  console.log(
    JSON.stringify({
      folder,
      shown,
      errors: kiosk.errors,
      entries: now.entries,
      before,
      setAside: now.setAside,
    }),
  );
  await kiosk.crash();
  cpSync(kiosk.profileDir, folder, { recursive: true });
  await kiosk.reopen();
  await until(kiosk.page, 'a screen', isUp);
}

const lost: string[] = [];
let entriesBefore: Stored['entries'] = {};
const astray: string[] = [];
let answers = 0;
let visits = 0;
for (let kill = 1; kill <= kills; kill++) {
  const { page } = kiosk;
  let step = '';
  let started = false;
  kiosk.errors.length = 0;
  const end = Date.now() + 300 + chance() * 5_000;
  try {
    const { screen } = await until(page, 'a screen', isUp);
    if (screen === 'idle') {
      await startPractice(page);
      confirmed.clear();
      visits += 1;
    }
    started = true;
    await touch(
      page,
      (sight) => Date.now() > end || isOver(sight),
      30_000,
      (sight) => {
        note(sight);
        if (sight.step) step = sight.step;
      },
    );
    if (isOver(await look(page))) {
      await press(page, en.close);
      confirmed.clear();
      started = false;
    }
  } catch (error) {
    astray.push(`before kill ${kill}: ${(error as Error).message.split('\n')[0]}`);
  }
  await kiosk.crash();
  await kiosk.reopen();
  const offer = await until(kiosk.page, 'a screen', isUp);
  const now = await stored(kiosk.page);
  const { seqs, judged } = now;
  const already = lost.length + astray.length;
  for (const [visit, count] of Object.entries(entriesBefore))
    if ((now.entries[visit] ?? 0) < count)
      lost.push(`kill ${kill}: visit ${visit} had ${count} entries and has ${now.entries[visit] ?? 0}`);
  const order = seqs.toSorted((a, b) => a - b);
  if (order.some((seq, k) => seq !== k)) lost.push(`kill ${kill}: entries ${order.join(' ')}`);
  for (const answer of confirmed)
    if (!judged.includes(answer)) lost.push(`kill ${kill}: the answer to ${answer}`);
  answers += confirmed.size;
  if (started && confirmed.size > 0 && offer.screen !== 'resume')
    astray.push(`after kill ${kill}: ${offer.screen} in place of the offer to go on`);
  if (lost.length + astray.length > already) await evidence(kill, now, entriesBefore);
  entriesBefore = now.entries;
  if (offer.screen === 'resume') {
    await press(kiosk.page, en.resumeYes);
    const at = await until(kiosk.page, 'the visit', ({ screen }) => screen !== 'resume');
    // Between two steps the next one may have begun.
    if (step && at.step && at.step !== step && !judged.some((answer) => answer.startsWith(`${step} `)))
      astray.push(`after kill ${kill}: in ${at.step}, and was in ${step}`);
  }
  if (kill % 10 === 0)
    console.log(`${kill} kills, ${visits} visits, ${answers} confirmed answers looked for`);
}
await kiosk.close();
for (const what of [...lost, ...astray]) console.log(what);
goal(
  `every one of ${answers} confirmed answers is there after ${kills} kills: ${lost.length} lost`,
  lost.length === 0,
);
goal(`the visit is offered again and goes on at its step: ${astray.length} went astray`, astray.length === 0);
