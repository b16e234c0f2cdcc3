import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { openKiosk } from '../../tests/browser/chromium';
import { misses } from '../../tests/browser/learner';
import {
  attend,
  differs,
  isOver,
  look,
  type Said,
  saveSummary,
  startPractice,
  until,
  watchHands,
} from '../../tests/browser/visit';
import type { Voice } from '../../tests/browser/voices';
import type { SummaryFile } from '../records/summary-schema';
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
const kiosk = await openKiosk({ microphone: 'script', size: { width, height } });

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

/** Checks what the summary says against what was said, and prints each turn with its findings. */
function review(summary: SummaryFile, turns: Said[]) {
  const answers = turns.filter((turn) => turn.asked.length > 0);
  console.log('\nWhat the summary holds:');
  for (const turn of summary.turns) {
    const where = `${turn.step}, try ${turn.attempt}`;
    // More than one when the kiosk asked to hear it again: the nearest is the one that was taken.
    const said = answers.filter(({ step, attempt }) => step === turn.step && attempt === turn.attempt);
    const heard = turn.heard ?? '';
    const wer = Math.min(...said.map(({ text }) => differs(text, heard)), Number.POSITIVE_INFINITY);
    console.log(`${where}\n  asked  ${turn.asked}\n  said   ${said.at(-1)?.text ?? '?'}`);
    console.log(
      `  heard  ${heard} (word errors ${(100 * wer).toFixed(0)} %, confidence ${turn.confidence?.toFixed(2)})`,
    );
    for (const { label, concept, confidence, contradiction, missing } of turn.findings) {
      const why = contradiction ?? missing ?? '';
      console.log(`         ${label.padEnd(13)} ${concept} ${why} (${confidence.toFixed(2)})`);
    }
    if (heard.trim() === '') problems.push(`${where}: nothing was heard`);
    if (turn.engine !== 'embedded')
      problems.push(`${where}: heard by ${turn.engine}, not by the built-in recogniser`);
    if (turn.mode !== 'voice') problems.push(`${where}: answered by ${turn.mode}, not by voice`);
    if (wer > 0.8) problems.push(`${where}: what was heard has hardly a word of what was said`);
  }
  for (const turn of turns) {
    if (turn.peak < -40 || turn.streams < 1) problems.push(`"${turn.text}" did not reach the microphone`);
  }
  const steps = summary.start?.steps ?? [];
  if (steps.length !== 7) problems.push(`${steps.length} of 7 steps were planned`);
  for (const step of steps) {
    if (!summary.turns.some((turn) => turn.step === step)) problems.push(`${step}: no answer was heard`);
  }
  for (const { concept, outcome } of summary.concepts) {
    if (outcome === 'not-asked') problems.push(`${concept} was not asked`);
  }
  const again = summary.concepts.filter(({ retaught }) => retaught > 0).map(({ concept }) => concept);
  console.log(`taught again: ${again.join(', ') || 'nothing'}`);
  for (const concept of misses) {
    if (!again.includes(concept)) problems.push(`${concept} was missed and not taught again`);
  }
  if (summary.showMe.some(({ shown }) => shown !== true))
    problems.push('a show-me tick is not in the summary');
  if (summary.state !== 'completed') problems.push(`the visit did not end completed (${summary.state})`);
}

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
  if ((await look(page)).screen === 'show-me') {
    await watchHands(page);
  }
  const rest = await attend(kiosk, isOver, 5 * 60_000, { ...how, seen: ({ screen }) => picture(screen) });
  turns.push(...rest);
  const summary = await saveSummary(page, join(out, 'summary.json'));
  const pdf = await page.pdf({ format: 'Letter', preferCSSPageSize: true, printBackground: true });
  writeFileSync(join(out, 'handout.pdf'), pdf);
  review(summary, turns);
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
