import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/*
 * What every command needs before it can run. Only what Node itself brings: node_modules may not be there yet.
 */

export const root = fileURLToPath(new URL('../..', import.meta.url));

const oldestNode = [20, 19];

/** @returns {string | null} what to do about a Node that is too old */
export function nodeProblem(version = process.versions.node) {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  if (major > oldestNode[0] || (major === oldestNode[0] && minor >= oldestNode[1])) return null;
  return `Ownwords needs Node ${oldestNode.join('.')} or newer; this is Node ${version}. Install a newer one from nodejs.org or your system's packages, then try again.`;
}

/** Are the modules that package-lock.json names installed, in those versions? */
export function modulesInstalled(folder = root) {
  // npm writes the second file last of all, so a broken-off install has none.
  const wanted = join(folder, 'package-lock.json');
  const present = join(folder, 'node_modules', '.package-lock.json');
  if (!existsSync(present)) return false;
  const want = JSON.parse(readFileSync(wanted, 'utf8')).packages;
  const have = JSON.parse(readFileSync(present, 'utf8')).packages;
  return Object.entries(want).every(
    ([path, entry]) =>
      path === '' || (have[path] ? have[path].version === entry.version : entry.optional === true),
  );
}

/**
 * Runs a program with its output on our own.
 * @returns {boolean} did it end well?
 */
export function run(program, args, options = {}) {
  const { status, error } = spawnSync(program, args, { cwd: root, stdio: 'inherit', ...options });
  if (error) console.error(`${program}: ${error.message}`);
  return status === 0;
}

/** @returns {boolean} are the modules there now? */
export function installModules() {
  if (modulesInstalled()) return true;
  console.log('Installing the modules that package-lock.json names (once; needs the network) ...');
  const ok = run('npm', ['ci', '--no-audit', '--no-fund'], { shell: process.platform === 'win32' });
  if (!ok) console.error('npm could not install them. Check the network, then try again.');
  return ok;
}

const sources = [
  'index.html',
  'vite.config.ts',
  'package-lock.json',
  'src',
  'machines',
  'phrasebanks',
  'public',
];

function newest(path) {
  if (!existsSync(path)) return 0;
  const stats = statSync(path);
  if (!stats.isDirectory()) return stats.mtimeMs;
  // A folder's own time tells of files taken away.
  return Math.max(stats.mtimeMs, ...readdirSync(path).map((name) => newest(join(path, name))));
}

export const dist = join(root, 'dist');
const stamp = join(dist, '.built');

export function buildIsFresh() {
  return (
    existsSync(stamp) &&
    Math.max(...sources.map((name) => newest(join(root, name)))) <= statSync(stamp).mtimeMs
  );
}

/** @returns {boolean} is there a build of the present sources now? */
export function build() {
  if (buildIsFresh()) return true;
  const began = new Date();
  rmSync(stamp, { force: true });
  const vite = join(root, 'node_modules', 'vite', 'bin', 'vite.js');
  // What builds for the tests has a NODE_ENV of its own, with which React would be its far larger and slower other self.
  const env = { ...process.env, NODE_ENV: 'production', VITE_CONFIG_NATIVE_IGNORE_WARNING: 'true' };
  if (!run(process.execPath, [vite, 'build', '--logLevel', 'warn'], { env })) return false;
  writeFileSync(stamp, '');
  // A source that changed while we built is newer than this.
  utimesSync(stamp, began, began);
  return true;
}
