import { readdirSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { build } from '../../src/commands/prepare.mjs';
import { openDevice } from '../browser/chromium';
import { chooseLesson, isOver, press, touch, until } from '../browser/visit';
import { en } from '../browser/words';
import { figure, goal } from './figures';
import { memoryOf, processesBelow } from './processes';

/*
 * npm run soak [-- --visits 200]
 * Visits in a row in one browser, by touch, each started and closed as staff do. After each the page's own memory
 * (garbage thrown away first), its nodes and listeners, and how long it took from the press on Start to the first
 * screen. Goals of our own: memory within 15 % of the tenth visit, nothing left open, answers as fast as at first.
 * Some ten seconds a visit. Exit status 1 when a goal is missed.
 */

const { values } = parseArgs({ options: { visits: { type: 'string', default: '200' } } });
const visits = Number(values.visits);

if (!build()) process.exit(1);
// With the ear in memory, which no kiosk without a microphone has.
const kiosk = await openDevice({ microphone: 'script' });
const { page } = kiosk;
const tools = await page.context().newCDPSession(page);
await tools.send('Performance.enable');

interface After {
  heap: number;
  process: number;
  nodes: number;
  listeners: number;
  files: number;
  start: number;
}
const after: After[] = [];

/** Of the process that has the page: the one with most memory of its own. */
function largest(): { memory: number; files: number } {
  const all = processesBelow(kiosk.profileDir).map((pid) => ({ pid, memory: memoryOf(pid)?.own ?? 0 }));
  const { pid, memory } = all.reduce((a, b) => (b.memory > a.memory ? b : a), { pid: 0, memory: 0 });
  const open = () => {
    try {
      return readdirSync(`/proc/${pid}/fd`).length;
    } catch {
      return 0;
    }
  };
  return { memory, files: open() };
}

async function visit(): Promise<number> {
  await page.getByRole('button', { name: en.newVisit, exact: true }).click();
  await chooseLesson(page, 'after');
  for (const [field, text] of [
    ['name', 'Soak'],
    ['bed', '12'],
    ['staff', 'R. Quillon'],
  ] as const)
    await page.locator(`[name=${field}]`).fill(text);
  const pressed = performance.now();
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await until(page, 'a visit', ({ screen }) => screen !== 'start' && screen !== 'idle' && screen !== '');
  const took = performance.now() - pressed;
  await touch(page, isOver, 120_000);
  await press(page, en.close);
  await page.locator('[data-screen=idle]').waitFor();
  return took;
}

const MB = (bytes: number) => `${(bytes / 2 ** 20).toFixed(1)} MB`;
for (let k = 1; k <= visits; k++) {
  const start = await visit();
  await tools.send('HeapProfiler.collectGarbage');
  const { metrics } = await tools.send('Performance.getMetrics');
  const of = (name: string) => metrics.find((metric) => metric.name === name)?.value ?? 0;
  const { memory, files } = largest();
  const now: After = {
    heap: of('JSHeapUsedSize'),
    process: memory,
    nodes: of('Nodes'),
    listeners: of('JSEventListeners'),
    files,
    start,
  };
  after.push(now);
  if (k <= 3 || k % 10 === 0 || k === visits)
    console.log(
      `visit ${k}: page ${MB(now.heap)}, process ${MB(now.process)}, ${now.nodes} nodes, ${now.listeners} listeners, ${now.files} files, ${now.start.toFixed(0)} ms to the first screen`,
    );
}
await kiosk.close();

const median = (some: number[]) => some.toSorted((a, b) => a - b)[some.length >> 1] ?? Number.NaN;
const tenth = after[Math.min(9, after.length - 1)]!;
const last = after.at(-1)!;
const grown = (what: 'heap' | 'process') => 100 * (last[what] / tenth[what] - 1);
figure('memory of the page after the last visit, beyond that after the tenth', grown('heap'), '%');
figure('memory of its process, likewise', grown('process'), '%');
goal(`memory of the page within 15 % of visit 10: ${grown('heap').toFixed(1)} %`, grown('heap') <= 15);
goal(
  `memory of its process within 15 % of visit 10: ${grown('process').toFixed(1)} %`,
  grown('process') <= 15,
);
goal(
  `nothing left open: nodes ${tenth.nodes} -> ${last.nodes}, listeners ${tenth.listeners} -> ${last.listeners}, files ${tenth.files} -> ${last.files}`,
  last.nodes <= tenth.nodes * 1.05 &&
    last.listeners <= tenth.listeners * 1.05 &&
    last.files <= tenth.files + 5,
);
const early = median(after.slice(0, 20).map(({ start }) => start));
const late = median(after.slice(-20).map(({ start }) => start));
goal(
  `as fast as at first: ${early.toFixed(0)} -> ${late.toFixed(0)} ms to the first screen`,
  late <= early * 1.25 + 20,
);
