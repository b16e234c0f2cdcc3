import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Why nothing can be spoken here, or ''. */
export const mute = spawnSync('flite', ['--version']).error ? 'flite is not installed' : '';

/** A WAV file of a synthetic voice. */
export const speak = (text: string, voice = 'rms'): Uint8Array =>
  spoken('flite', (file) => ['-voice', voice, '-t', text, '-o', file]);

/** Why nothing can be spoken in other languages than English, or ''. */
export const muteAbroad = spawnSync('espeak-ng', ['--version']).error ? 'espeak-ng is not installed' : '';

/** A WAV file of a voice of espeak-ng ("fr-fr"). */
export const speakAbroad = (text: string, voice: string): Uint8Array =>
  spoken('espeak-ng', (file) => ['-v', voice, '-s', '150', '-w', file, text]);

const known = new Map<string, Buffer>();

/** Each text is spoken once: a voice says the same in the same way each time. A copy, as it may be spoilt. */
function spoken(command: string, args: (file: string) => string[]): Uint8Array {
  const key = JSON.stringify([command, ...args('')]);
  let said = known.get(key);
  if (!said) {
    said = written((file) => execFileSync(command, args(file)));
    known.set(key, said);
  }
  return Uint8Array.from(said);
}

function written(write: (file: string) => void): Buffer {
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-speak-'));
  try {
    const file = join(folder, 'said.wav');
    write(file);
    return readFileSync(file);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
