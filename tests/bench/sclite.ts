import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/* NIST's scoring program for recognisers, as a yardstick for our own count of errors (Debian: sctk). */

export const hasSclite = spawnSync('which', ['sctk']).status === 0;
export const noSclite =
  'sclite is not installed here (apt-get install sctk): our count of errors is not compared';

/** Word error rate of pairs of what was said and what was heard, 0.. with three decimals. */
export function scliteErrorRate(pairs: readonly { said: string[]; heard: string[] }[]): number {
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-sclite-'));
  try {
    const write = (name: string, side: 'said' | 'heard') => {
      const path = join(folder, name);
      writeFileSync(path, pairs.map((pair, k) => `${pair[side].join(' ')} (one_${k})\n`).join(''));
      return path;
    };
    const said = write('said.trn', 'said');
    const heard = write('heard.trn', 'heard');
    const run = spawnSync(
      'sctk',
      ['sclite', '-r', said, 'trn', '-h', heard, 'trn', '-i', 'rm', '-o', 'rsum'],
      {
        encoding: 'utf8',
      },
    );
    if (run.status !== 0) throw new Error(`sclite failed: ${run.stderr}`);
    // | Sum |  sentences  words |  correct  substituted  deleted  inserted  errors  ... |
    const sum = /\|\s*Sum\s*\|\s*\d+\s+(\d+)\s*\|\s*\d+\s+\d+\s+\d+\s+\d+\s+(\d+)/.exec(
      readFileSync(`${heard}.raw`, 'utf8'),
    );
    if (!sum) throw new Error('sclite gave no sum');
    return Number(sum[2]) / Number(sum[1]);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
