import { readdirSync, readFileSync } from 'node:fs';

interface Process {
  pid: number;
  parent: number;
  args: string[];
}

/** Those that run now, by /proc; one that has ended and is not yet taken note of does not. */
function running(): Process[] {
  return readdirSync('/proc').flatMap((entry) => {
    if (!/^\d+$/.test(entry)) return [];
    try {
      const [, state, parent] = /\) (\S) (\d+)/.exec(readFileSync(`/proc/${entry}/stat`, 'utf8')) ?? [];
      const args = readFileSync(`/proc/${entry}/cmdline`, 'utf8').split('\0');
      return state === 'Z' ? [] : [{ pid: Number(entry), parent: Number(parent), args }];
    } catch {
      // It ended while we looked.
      return [];
    }
  });
}

/** The browser's own process, the one with this profile that is nobody's child process, and all that it has started. */
export function familyOf(profileDir: string): [browser: number, ...started: number[]] {
  const all = running();
  const browser = all.find(
    ({ args }) =>
      args.includes(`--user-data-dir=${profileDir}`) && !args.some((arg) => arg.startsWith('--type=')),
  );
  if (!browser) throw new Error(`no browser runs on ${profileDir}`);
  const family: [number, ...number[]] = [browser.pid];
  for (const one of family) family.push(...all.filter(({ parent }) => parent === one).map(({ pid }) => pid));
  return family;
}

/** All that were started with a profile in this folder. */
export const withProfilesIn = (folder: string): number[] =>
  running()
    .filter(({ args }) => args.some((arg) => arg.includes(`--user-data-dir=${folder}/`)))
    .map(({ pid }) => pid);

/** Those of them that still run. */
export const left = (pids: readonly number[]): number[] =>
  running()
    .map(({ pid }) => pid)
    .filter((pid) => pids.includes(pid));
