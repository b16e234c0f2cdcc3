import { spawn, spawnSync } from 'node:child_process';
import { closeSync, existsSync, mkdtempSync, openSync, readFileSync, rmSync } from 'node:fs';
import { constants, setPriority, tmpdir } from 'node:os';
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

/**
 * `log`: a file that gets what it prints, and it takes only what others leave of the processor.
 * @returns {Promise<{ ok: boolean, late: boolean }>}
 */
function runFor(limit, program, args, log = '') {
  return new Promise((done) => {
    const out = log ? openSync(log, 'w') : 'inherit';
    // A group of its own, so that browsers go down with it.
    const child = spawn(program, args, { cwd: root, stdio: ['ignore', out, out], detached: true });
    if (typeof out === 'number') {
      closeSync(out);
      if (child.pid) setPriority(child.pid, constants.priority.PRIORITY_BELOW_NORMAL);
    }
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

/**
 * @param {() => Promise<{ passed: number, failed: number, skipped: number, notes?: string[] }>} work
 * @param log of a part that runs beside another one, and is told when it has ended
 */
async function part(name, work, log = '') {
  const title = `\n== ${name}`;
  if (!log) console.log(title);
  const began = Date.now();
  const count = await work();
  if (log) console.log(`${title}\n${readFileSync(log, 'utf8')}`);
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

const vitest = (name, project, limit, log = '') =>
  part(
    name,
    async () => {
      const report = join(scratch, `${name}.json`);
      const args = [bin('vitest', 'vitest.mjs'), 'run', '--project', project];
      args.push('--reporter=default', '--reporter=json', `--outputFile.json=${report}`);
      const { ok, late } = await runFor(limit, node, args, log);
      if (late || !existsSync(report)) {
        return {
          passed: 0,
          failed: 1,
          skipped: 0,
          notes: [`failed: ${name}: ${late ? 'no end in time' : 'no report'}`],
        };
      }
      return countReport(JSON.parse(readFileSync(report, 'utf8')), ok);
    },
    log,
  );

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

await one('types', 3 * minute, node, [bin('typescript', 'bin', 'tsc'), '-p', '.']);
await one('lint', 2 * minute, node, [bin('@biomejs', 'biome', 'bin', 'biome'), 'check', '.']);
const built = await part('build', async () =>
  build() ? { passed: 1, failed: 0, skipped: 0 } : { passed: 0, failed: 1, skipped: 0 },
);

const hindrance = !built
  ? 'there is no build to test'
  : missing.length > 0
    ? `${missing.join(', ')} missing`
    : null;
const unitTests = (log = '') => vitest('unit tests', 'unit*', 45 * minute, log);
if (hindrance) {
  await unitTests();
  skip('browser tests', hindrance);
} else {
  // Those in a browser wait for a voice or a listener now and then; the others take what is left meanwhile.
  await Promise.all([
    // With a whole visit by ear among them, whose summary is checked as that of the rehearsal.
    vitest('browser tests', 'browser', 45 * minute),
    unitTests(join(scratch, 'unit.log')),
  ]);
}
end();
