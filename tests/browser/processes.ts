import { readdirSync, readFileSync } from 'node:fs';

/** The browser's own process: the one with this profile that is nobody's child process. */
export function browserOf(profileDir: string): number {
  for (const entry of readdirSync('/proc')) {
    if (!/^\d+$/.test(entry)) continue;
    try {
      const args = readFileSync(`/proc/${entry}/cmdline`, 'utf8').split('\0');
      if (args.includes(`--user-data-dir=${profileDir}`) && !args.some((arg) => arg.startsWith('--type='))) {
        return Number(entry);
      }
    } catch {
      // It ended while we looked.
    }
  }
  throw new Error(`no browser runs on ${profileDir}`);
}

/** A process and all that it has started, by /proc. */
export function familyOf(pid: number): number[] {
  const parents = readdirSync('/proc').flatMap((entry) => {
    if (!/^\d+$/.test(entry)) return [];
    try {
      const { 1: parent } = /\) \S (\d+)/.exec(readFileSync(`/proc/${entry}/stat`, 'utf8')) ?? [];
      return [[Number(entry), Number(parent)] as const];
    } catch {
      // It ended while we looked.
      return [];
    }
  });
  const family = [pid];
  for (const one of family)
    family.push(...parents.flatMap(([child, parent]) => (parent === one ? [child] : [])));
  return family;
}

/** Resolves when none of them is there any more. Throws when one is after a minute. */
export async function allGone(pids: number[]): Promise<void> {
  const end = Date.now() + 60_000;
  const alive = (pid: number) => {
    try {
      return !/\) Z /.test(readFileSync(`/proc/${pid}/stat`, 'utf8'));
    } catch {
      return false;
    }
  };
  while (pids.some(alive)) {
    if (Date.now() > end)
      throw new Error(`still there after a minute: process ${pids.filter(alive).join(', ')}`);
    await new Promise((done) => setTimeout(done, 20));
  }
}
