import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Why nothing can be spoken here, or ''. */
export const mute = spawnSync('flite', ['--version']).error ? 'flite is not installed' : '';
if (mute) console.warn(`hearing of real sound is not tested: ${mute}`);

/** A WAV file of a synthetic voice. */
export function speak(text: string, voice = 'rms'): Uint8Array {
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-speak-'));
  try {
    const file = join(folder, 'said.wav');
    execFileSync('flite', ['-voice', voice, '-t', text, '-o', file]);
    return readFileSync(file);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
