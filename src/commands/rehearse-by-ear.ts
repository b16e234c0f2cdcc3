import { goByEar, startByEar } from '../../tests/browser/by-ear';
import { openDevice } from '../../tests/browser/chromium';
import { darken, listenIn } from '../../tests/browser/dark';
import { review } from '../../tests/browser/review';
import { saveSummary } from '../../tests/browser/visit';
import { build } from './prepare.mjs';

/*
 * npm run rehearse:by-ear: a whole visit in audio-only mode with the screen covered, at the pace of people (a quarter
 * of an hour; tests/browser/by-ear.test.ts does the same with a hurried voice). The learner knows nothing but what the
 * voice says and when it is silent, answers aloud, and has one key, the space bar. What the rehearsal's learner
 * forgets has to be taught again. Exit status 1 when the visit does not get to its end, or its summary is amiss.
 */

if (!build()) process.exit(1);
const kiosk = await openDevice({ microphone: 'script', size: { width: 1280, height: 800 } });
await listenIn(kiosk);
await startByEar(kiosk);
const began = Date.now();
const dark = await darken(kiosk);
const tell = (who: string, text: string) =>
  console.log(`${String(Math.round((Date.now() - began) / 1000)).padStart(4)} s  ${who}: ${text}`);
const { turns, keys, over, last, loudest } = await goByEar(dark, {
  turn: 1.8,
  hurry: false,
  limit: 25,
  tell,
});

const problems = kiosk.errors.map((error) => `on the console: ${error}`);
if (over) {
  const summary = await saveSummary(await dark.lift());
  problems.push(...review(summary, turns, { byEar: true }));
} else problems.push(`the visit stood still; last was said: ${last || 'nothing'}`);
if (loudest < -55) problems.push(`the voice could not be heard (${loudest.toFixed(0)} dBFS at most)`);
await kiosk.close().catch((error) => problems.push(String(error)));
for (const problem of problems) console.log(`PROBLEM: ${problem}`);
console.log(
  `${turns.length} answers and ${keys} presses of one key in ${Math.round((Date.now() - began) / 1000)} s, the voice at most ${loudest.toFixed(0)} dBFS: ${problems.length === 0 ? 'gone through by ear.' : 'the rehearsal by ear failed.'}`,
);
process.exit(problems.length === 0 ? 0 : 1);
