import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Why nothing can be spoken here, or ''. */
export const mute = spawnSync('flite', ['--version']).error ? 'flite is not installed' : '';

/** A WAV file of a synthetic voice. */
export const speak = (text: string, voice = 'rms'): Uint8Array =>
  written((file) => execFileSync('flite', ['-voice', voice, '-t', text, '-o', file]));

/** Why nothing can be spoken in other languages than English, or ''. */
export const muteAbroad = spawnSync('espeak-ng', ['--version']).error ? 'espeak-ng is not installed' : '';

/** A WAV file of a voice of espeak-ng ("fr-fr"). */
export const speakAbroad = (text: string, voice: string): Uint8Array =>
  written((file) => execFileSync('espeak-ng', ['-v', voice, '-s', '150', '-w', file, text]));

function written(write: (file: string) => void): Uint8Array {
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-speak-'));
  try {
    const file = join(folder, 'said.wav');
    write(file);
    return readFileSync(file);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
