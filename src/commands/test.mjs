import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { build, installModules, nodeProblem, root, run } from './prepare.mjs';
import { countReport } from './tally.mjs';

/*
 * npm test: every check there is, in one go. A part that fails does not keep the later ones from running.
 */

const minute = 60_000;
const total = { passed: 0, failed: 0, skipped: 0 };
/** @type {string[]} */
const notes = [];
const scratch = mkdtempSync(join(tmpdir(), 'ownwords-test-'));
const node = process.execPath;
const bin = (...path) => join(root, 'node_modules', ...path);

function end() {
  rmSync(scratch, { recursive: true, force: true });
  console.log('');
  for (const note of notes) console.log(note);
  const skipped = total.skipped > 0 ? `, ${total.skipped} skipped` : '';
  console.log(`${total.passed} passed, ${total.failed} failed${skipped}`);
  process.exit(total.failed > 0 ? 1 : 0);
}

function skip(name, why) {
  total.skipped += 1;
  notes.push(`skipped: ${name}: ${why}`);
}

/** @returns {Promise<{ ok: boolean, late: boolean }>} */
function runFor(limit, program, args) {
  return new Promise((done) => {
    // A group of its own, so that browsers go down with it.
    const child = spawn(program, args, {
      cwd: root,
      stdio: ['ignore', 'inherit', 'inherit'],
      detached: true,
    });
    let late = false;
    const timer = setTimeout(() => {
      late = true;
      try {
        process.kill(-(/** @type {number} */ (child.pid)), 'SIGKILL');
      } catch {
        // It ended in this very moment.
      }
    }, limit);
    child.once('error', () => done({ ok: false, late }));
    child.once('exit', (code) => {
      clearTimeout(timer);
      done({ ok: code === 0, late });
    });
  });
}

/** @param {() => Promise<{ passed: number, failed: number, skipped: number, notes?: string[] }>} work */
async function part(name, work) {
  console.log(`\n== ${name}`);
  const began = Date.now();
  const count = await work();
  total.passed += count.passed;
  total.failed += count.failed;
  total.skipped += count.skipped;
  notes.push(...(count.notes ?? []));
  const seconds = ((Date.now() - began) / 1000).toFixed(1);
  const line = `${name}: ${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped, ${seconds} s`;
  console.log(`-- ${line}`);
  notes.push(line);
  return count.failed === 0;
}

/** A program that says yes or no counts as one test. */
const one = (name, limit, program, args) =>
  part(name, async () => {
    const { ok, late } = await runFor(limit, program, args);
    const why = late ? [`failed: ${name}: no end after ${limit / minute} minutes`] : [];
    return { passed: ok ? 1 : 0, failed: ok ? 0 : 1, skipped: 0, notes: why };
  });

const vitest = (name, project, limit) =>
  part(name, async () => {
    const report = join(scratch, `${name}.json`);
    const args = [bin('vitest', 'vitest.mjs'), 'run', '--project', project];
    args.push('--reporter=default', '--reporter=json', `--outputFile.json=${report}`);
    const { ok, late } = await runFor(limit, node, args);
    if (late || !existsSync(report)) {
      return {
        passed: 0,
        failed: 1,
        skipped: 0,
        notes: [`failed: ${name}: ${late ? 'no end in time' : 'no report'}`],
      };
    }
    return countReport(JSON.parse(readFileSync(report, 'utf8')), ok);
  });

/** Debian's packages, where they are not called as the program. */
const packages = { Xvfb: 'xvfb' };

function installed(program) {
  return (process.env.PATH ?? '').split(delimiter).some((folder) => existsSync(join(folder, program)));
}

/** Installs what is missing where we may, and says how where we may not. */
function installPrograms(programs) {
  const missing = programs.filter((program) => !installed(program));
  if (missing.length === 0) return [];
  const wanted = missing.map((program) => packages[program] ?? program);
  const how = `apt-get install ${wanted.join(' ')}`;
  const isRoot = process.getuid?.() === 0;
  const maySudo = !isRoot && installed('sudo') && spawnSync('sudo', ['-n', 'true']).status === 0;
  if (!installed('apt-get') || !(isRoot || maySudo)) {
    console.log(`Missing: ${missing.join(', ')}. On Debian: sudo ${how}`);
    return missing;
  }
  console.log(`Installing ${missing.join(', ')} ...`);
  const prefix = isRoot ? [] : ['sudo', '-n'];
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  for (const args of [
    ['apt-get', '-qq', 'update'],
    ['apt-get', '-qq', '-y', '--no-install-recommends', 'install', ...wanted],
  ]) {
    const [program = '', ...rest] = [...prefix, ...args];
    run(program, rest, { env, stdio: ['ignore', 'ignore', 'inherit'] });
  }
  const still = programs.filter((program) => !installed(program));
  if (still.length > 0) console.log(`Could not install ${still.join(', ')}. By hand: ${how}`);
  return still;
}

const problem = nodeProblem();
if (problem || !installModules()) {
  total.failed += 1;
  notes.push(`failed: ${problem ?? 'the modules could not be installed, so nothing could be checked'}`);
  end();
}
const missing = installPrograms(['chromium', 'flite', 'espeak-ng']);
// Without it one test is skipped, with its reason.
installPrograms(['Xvfb']);

// Each keeps one core busy.
await Promise.all([
  one('types', 3 * minute, node, [bin('typescript', 'bin', 'tsc'), '-p', '.']),
  one('lint', 2 * minute, node, [bin('@biomejs', 'biome', 'bin', 'biome'), 'check', '.']),
]);
await vitest('unit tests', 'unit*', 30 * minute);
const built = await part('build', async () =>
  build() ? { passed: 1, failed: 0, skipped: 0 } : { passed: 0, failed: 1, skipped: 0 },
);

const hindrance = !built
  ? 'there is no build to test'
  : missing.length > 0
    ? `${missing.join(', ')} missing`
    : null;
if (hindrance) {
  skip('browser tests', hindrance);
} else {
  // With a whole visit by ear among them, whose summary is checked as that of the rehearsal.
  await vitest('browser tests', 'browser', 45 * minute);
}
end();
