import { readdirSync, readFileSync } from 'node:fs';

/* What Linux says of running processes (proc(5)); null where there is no /proc. */

const read = (path: string): string | null => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return null; // it ended while we looked, or this is not Linux
  }
};

/** Memory in bytes: `pss` shares what is shared among those that share it, `own` is what only this process has. */
export interface ProcessMemory {
  pss: number;
  own: number;
}

export function memoryOf(pid: number): ProcessMemory | null {
  const text = read(`/proc/${pid}/smaps_rollup`);
  if (text === null) return null;
  const kilobytes = (name: string) => Number(new RegExp(`^${name}:\\s+(\\d+)`, 'm').exec(text)?.[1] ?? 0);
  return {
    pss: 1024 * kilobytes('Pss'),
    own: 1024 * (kilobytes('Private_Clean') + kilobytes('Private_Dirty')),
  };
}

const numbers = (folder: string): number[] => {
  try {
    return readdirSync(folder)
      .filter((entry) => /^\d+$/.test(entry))
      .map(Number);
  } catch {
    return [];
  }
};

/** Ids of the processes of the browser that runs on a profile. */
export function processesBelow(profileDir: string): number[] {
  const parents = new Map<number, number>();
  let root = 0;
  for (const pid of numbers('/proc')) {
    const status = read(`/proc/${pid}/status`);
    parents.set(pid, Number(/^PPid:\s+(\d+)/m.exec(status ?? '')?.[1] ?? 0));
    const args = read(`/proc/${pid}/cmdline`)?.split('\0') ?? [];
    if (args.includes(`--user-data-dir=${profileDir}`) && !args.some((arg) => arg.startsWith('--type=')))
      root = pid;
  }
  const isBelow = (pid: number): boolean => pid === root || (pid > 1 && isBelow(parents.get(pid) ?? 0));
  return root === 0 ? [] : [...parents.keys()].filter(isBelow);
}

/** Process and thread id of the one thread of this name (cut at 15 letters) below a browser's profile. */
export function threadBelow(profileDir: string, name: string): { pid: number; thread: number } | null {
  for (const pid of processesBelow(profileDir))
    for (const thread of numbers(`/proc/${pid}/task`))
      if (read(`/proc/${pid}/task/${thread}/comm`)?.trim() === name.slice(0, 15)) return { pid, thread };
  return null;
}

/** Seconds of processor that a thread has used. */
export function secondsOf({ pid, thread }: { pid: number; thread: number }): number | null {
  // Fields 14 and 15 after the name in brackets, in hundredths of a second (USER_HZ on every Linux of today).
  const fields = read(`/proc/${pid}/task/${thread}/stat`)?.split(') ')[1]?.split(' ');
  return fields ? (Number(fields[11]) + Number(fields[12])) / 100 : null;
}

/** From here on, all memory that WebAssembly takes in this process, in bytes. */
export function countWebAssembly(): () => number {
  const memories = new Set<WebAssembly.Memory>();
  const instantiate = WebAssembly.instantiate as (
    source: BufferSource | WebAssembly.Module,
    imports?: WebAssembly.Imports,
  ) => Promise<WebAssembly.Instance | WebAssembly.WebAssemblyInstantiatedSource>;
  WebAssembly.instantiate = (async (
    source: BufferSource | WebAssembly.Module,
    imports?: WebAssembly.Imports,
  ) => {
    const result = await instantiate(source, imports);
    const { exports } = 'instance' in result ? result.instance : result;
    const seen = [
      ...Object.values(exports),
      ...Object.values(imports ?? {}).flatMap((part) => Object.values(part)),
    ];
    for (const each of seen) if (each instanceof WebAssembly.Memory) memories.add(each);
    return result;
  }) as typeof WebAssembly.instantiate;
  return () => [...memories].reduce((sum, { buffer }) => sum + buffer.byteLength, 0);
}
