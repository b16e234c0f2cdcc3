import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { resample } from '../../src/hearing/audio/resample';
import { readWav } from '../../src/hearing/audio/wav';

/** Synthetic speakers: three of flite (one woman, two men), and espeak-ng. */
export type Voice = 'slt' | 'rms' | 'awb' | 'espeak';

/** Hz. Chromium takes recordings at this rate as a microphone, and the recogniser works at it. */
const rate = 16_000;

/** Samples -1..1 at 16 kHz -> a WAV file of 16-bit PCM, one channel. */
function writeWav(samples: Float32Array): Buffer {
  const bytes = Buffer.alloc(44 + 2 * samples.length);
  bytes.write('RIFF', 0, 'latin1');
  bytes.writeUInt32LE(36 + 2 * samples.length, 4);
  bytes.write('WAVEfmt ', 8, 'latin1');
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt16LE(1, 20);
  bytes.writeUInt16LE(1, 22);
  bytes.writeUInt32LE(rate, 24);
  bytes.writeUInt32LE(2 * rate, 28);
  bytes.writeUInt16LE(2, 32);
  bytes.writeUInt16LE(16, 34);
  bytes.write('data', 36, 'latin1');
  bytes.writeUInt32LE(2 * samples.length, 40);
  samples.forEach((sample, i) => {
    bytes.writeInt16LE(Math.round(Math.max(-1, Math.min(1, sample)) * 32767), 44 + 2 * i);
  });
  return bytes;
}

/** Quiet before and after, so that no word is cut off. Seconds. */
const margin = 0.4;

/**
 * Has a synthetic voice say something.
 * @returns the path of a WAV file: 16-bit PCM, one channel, 16 kHz
 */
export function sayWith(voice: Voice, text: string): string {
  const folder = join(tmpdir(), 'ownwords-voices');
  mkdirSync(folder, { recursive: true });
  const name = createHash('sha256').update(`${rate} ${margin} ${voice} ${text}`).digest('hex').slice(0, 20);
  const path = join(folder, `${voice}-${name}.wav`);
  if (existsSync(path)) return path;
  const own = `${path}.${process.pid}`;
  if (voice === 'espeak') execFileSync('espeak-ng', ['-v', 'en-us', '-s', '150', '-w', own, text]);
  else execFileSync('flite', ['-voice', voice, '-t', text, '-o', own]);
  const sound = readWav(readFileSync(own));
  rmSync(own);
  const samples = resample(sound.samples, sound.sampleRate, rate);
  const quiet = Math.round(margin * rate);
  const padded = new Float32Array(samples.length + 2 * quiet);
  padded.set(samples, quiet);
  // Written aside and moved, so that two tests at once never see half a file.
  writeFileSync(own, writeWav(padded));
  renameSync(own, path);
  return path;
}
