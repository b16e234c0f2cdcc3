import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, release, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { root } from '../../src/commands/prepare.mjs';
import { type Figure, shown } from './figures';

/*
 * npm run bench [-- --only score,app --whole]
 * All benches one after the other, each for itself, in one table; the same as JSON in out/bench.json, and what each
 * printed in out/bench/. Where speech is heard by the hour a part of it is taken (three quarters of an hour in all);
 * --whole hears everything (some three hours). Times and memory are only as true as the machine is calm. Exit status 1
 * when one fails or misses a goal.
 */

// Those that measure time or memory come first, while the machine is still cool.
const all = [
  'app',
  'records',
  'hear-load',
  'score',
  'quantities',
  'outside',
  'hear-commands',
  'hear',
  'hear-outside',
  'barge-in',
];
const { scripts } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
const forgotten = Object.keys(scripts).filter(
  (name) => name.startsWith('bench:') && !all.includes(name.slice('bench:'.length)),
);
if (forgotten.length > 0) throw new Error(`tests/bench/all.ts does not know ${forgotten.join(', ')}`);

const { values } = parseArgs({
  options: { only: { type: 'string' }, whole: { type: 'boolean', default: false } },
});
/** What some are given, so that the table holds what is asked of them; each step hears another part of the clips. */
const given: Record<string, string[]> = {
  hear: ['--set', 'check', '--noise', 'clean,10', ...(values.whole ? [] : ['--every', '5'])],
  'hear-outside': values.whole ? [] : ['--every', '8'],
  'barge-in': values.whole ? [] : ['--rooms', '4', '--sentences', '6'],
};
const chosen = values.only?.split(',') ?? all;
const unknown = chosen.filter((name) => !all.includes(name));
if (unknown.length > 0) {
  console.error(`no bench is called ${unknown.join(', ')}; there are ${all.join(', ')}`);
  process.exit(2);
}

const version = (program: string, ...args: string[]) =>
  spawnSync(program, args, { encoding: 'utf8' }).stdout?.trim() || 'not there';
const machine = {
  processor: `${cpus()[0]?.model.trim() ?? 'unknown'}, ${cpus().length} cores`,
  memory: `${(totalmem() / 2 ** 30).toFixed(1)} GiB`,
  system: `${process.platform} ${release()}`,
  node: process.version,
  chromium: version('chromium', '--version'),
  revision: version('git', '-C', root, 'rev-parse', '--short', 'HEAD'),
};

const out = join(root, 'out', 'bench');
mkdirSync(out, { recursive: true });
const scratch = mkdtempSync(join(tmpdir(), 'ownwords-figures-'));

interface Ran {
  bench: string;
  given: string[];
  seconds: number;
  loadBefore: number;
  status: number | null;
  figures: Figure[];
}
const ran: Ran[] = chosen.map((bench) => {
  const file = join(scratch, bench);
  const args = given[bench] ?? [];
  const began = Date.now();
  const loadBefore = loadavg()[0]!;
  console.log(`bench:${bench} ...`);
  const { status, stdout, stderr } = spawnSync('npm', ['run', '-s', `bench:${bench}`, '--', ...args], {
    cwd: root,
    encoding: 'utf8',
    maxBuffer: 2 ** 26,
    env: { ...process.env, OWNWORDS_FIGURES: file },
    shell: process.platform === 'win32',
  });
  writeFileSync(join(out, `${bench}.txt`), `${stdout}${stderr}`);
  const figures = existsSync(file)
    ? readFileSync(file, 'utf8')
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line) as Figure)
    : [];
  return {
    bench,
    given: args,
    seconds: Math.round((Date.now() - began) / 1000),
    loadBefore,
    status,
    figures,
  };
});
rmSync(scratch, { recursive: true });

console.log(
  `\n${Object.entries(machine)
    .map(([what, is]) => `${what}: ${is}`)
    .join('\n')}\n`,
);
for (const { bench, given, seconds, loadBefore, status, figures } of ran) {
  const end = status === 0 ? '' : `; ended with ${status}, see out/bench/${bench}.txt`;
  console.log(
    `${[bench, ...given].join(' ')} (${seconds} s, load average before it ${loadBefore.toFixed(2)}${end})`,
  );
  for (const { what, value, unit, goal, met } of figures) {
    const is = value === undefined ? '' : `${shown(value)} ${unit ?? ''}`;
    const mark = met === undefined ? '' : met ? 'met' : 'MISSED';
    console.log(`  ${mark.padEnd(7)}${is.padStart(12)}  ${what}${goal ? ` (${goal})` : ''}`);
  }
}
writeFileSync(
  join(root, 'out', 'bench.json'),
  `${JSON.stringify({ at: new Date().toISOString(), machine, ran }, null, 1)}\n`,
);
if (ran.some(({ status }) => status !== 0)) process.exitCode = 1;
