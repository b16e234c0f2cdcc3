import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Household noise from outside the project (Speech Commands via LCAV/pyroomacoustics, CC BY 4.0). */
const noise = fileURLToPath(
  new URL('../../../shared/datasets/noise/doing_the_dishes_20s.wav', import.meta.url),
);

/** Level of a file over its whole length, dB of full scale. */
function level(file: string, ...effects: string[]): number {
  const { stderr } = run('sox', [file, '-n', ...effects, 'stat']);
  const rms = Number(/RMS\s+amplitude:\s+([\d.]+)/.exec(stderr)?.[1]);
  if (!(rms > 0)) throw new Error(`${file}: no level`);
  return 20 * Math.log10(rms);
}

function run(command: string, args: string[]): { stderr: string } {
  // sox writes its figures to standard error.
  const shell = `${[command, ...args].map((arg) => `'${arg.replaceAll("'", "'\\''")}'`).join(' ')} 2>&1 >/dev/null`;
  return { stderr: execFileSync('sh', ['-c', shell], { encoding: 'utf8' }) };
}

/** Mixes household noise into a WAV file so that speech stands `decibels` above it. Returns the new file. */
export function mixed(file: string, decibels: number, out: string): string {
  if (!existsSync(noise)) throw new Error('the noise of ../shared/datasets is not here');
  if (existsSync(out)) return out;
  const gain = level(file) - decibels - level(noise);
  const seconds = execFileSync('soxi', ['-D', file], { encoding: 'utf8' }).trim();
  const rate = execFileSync('soxi', ['-r', file], { encoding: 'utf8' }).trim();
  const piece = `${out}.noise.wav`;
  // The recording goes round as often as the answer is long.
  execFileSync('sox', [
    '-V1', // loud consonants clip a little
    noise,
    '-r',
    rate,
    '-c',
    '1',
    piece,
    'repeat',
    '9',
    'trim',
    '0',
    seconds,
    'gain',
    gain.toFixed(2),
  ]);
  execFileSync('sox', ['-V1', '-m', '-v', '1', file, '-v', '1', piece, '-b', '16', out]);
  return out;
}
