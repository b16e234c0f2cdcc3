import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { openDevice } from '../../tests/browser/chromium';
import { review } from '../../tests/browser/review';
import {
  attend,
  isOver,
  type Said,
  saveSummary,
  startPractice,
  touch,
  until,
} from '../../tests/browser/visit';
import type { Voice } from '../../tests/browser/voices';
import { build, root } from './prepare.mjs';

/*
 * npm run rehearse: one whole practice visit in a real browser, spoken by a synthetic learner and heard by the
 * kiosk through its microphone. Leaves what a clinician would get, and a picture of every screen.
 * --size 1280x800, --voice slt|rms|awb|espeak, --patient: hears everything out and lets the kiosk notice the end
 * of each answer (about a quarter of an hour) instead of pressing "Go on" and "I am done"; --out folder.
 */

const { values } = parseArgs({
  options: {
    size: { type: 'string', default: '1080x1920' },
    voice: { type: 'string', default: 'slt' },
    patient: { type: 'boolean', default: false },
    out: { type: 'string', default: join(root, 'out') },
  },
});
const [width, height] = values.size.split('x').map(Number);
if (!width || !height) throw new Error(`--size must be like 1280x800, not "${values.size}"`);
if (!['slt', 'rms', 'awb', 'espeak'].includes(values.voice)) {
  throw new Error(`--voice must be slt, rms, awb or espeak, not "${values.voice}"`);
}

const { out } = values;
const screens = join(out, 'screens');
rmSync(screens, { recursive: true, force: true });
mkdirSync(screens, { recursive: true });
if (!build()) process.exit(1);

const problems: string[] = [];
const shots = new Set<string>();
const began = Date.now();
const clock = () => `${((Date.now() - began) / 1000).toFixed(0).padStart(4)} s`;
const kiosk = await openDevice({ microphone: 'script', size: { width, height } });

async function picture(name: string) {
  if (!name || shots.has(name)) return;
  shots.add(name);
  const number = String(shots.size).padStart(2, '0');
  await kiosk.page.screenshot({ path: join(screens, `${number}-${name}.png`) });
}

const told = (turn: Said) =>
  console.log(
    `${clock()}  ${turn.step || '-'}${turn.attempt ? `, try ${turn.attempt}` : ''}: asked "${turn.question}"\n` +
      `        said "${turn.text}" (${turn.peak.toFixed(0)} dBFS, ${turn.streams} stream)`,
  );

const how = { voice: values.voice as Voice, hurry: !values.patient, said: told };

try {
  const { page } = kiosk;
  await until(page, 'the idle screen', (sight) => sight.screen === 'idle');
  await picture('idle');
  await startPractice(page);
  const turns = await attend(
    kiosk,
    ({ screen }) => screen === 'show-me' || screen === 'summary',
    15 * 60_000,
    {
      ...how,
      seen: ({ screen }) => picture(screen),
    },
  );
  await touch(page, ({ screen }) => screen !== 'show-me', 60_000);
  const rest = await attend(kiosk, isOver, 5 * 60_000, { ...how, seen: ({ screen }) => picture(screen) });
  turns.push(...rest);
  const summary = await saveSummary(page, join(out, 'summary.json'));
  const pdf = await page.pdf({ format: 'Letter', preferCSSPageSize: true, printBackground: true });
  writeFileSync(join(out, 'handout.pdf'), pdf);
  problems.push(...review(summary, turns));
} catch (error) {
  problems.push(String(error));
  await kiosk.page.screenshot({ path: join(screens, '99-trouble.png') }).catch(() => {});
}
problems.push(...kiosk.errors.map((error) => `on the console: ${error}`));
await kiosk.close().catch((error) => problems.push(String(error)));

console.log(`\n${shots.size} screens, summary.json and handout.pdf are in ${out}`);
for (const problem of problems) console.log(`PROBLEM: ${problem}`);
console.log(problems.length === 0 ? `Rehearsed in ${clock().trim()}.` : 'The rehearsal failed.');
process.exit(problems.length === 0 ? 0 : 1);
