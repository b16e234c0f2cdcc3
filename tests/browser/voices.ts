import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Synthetic speakers: two women's and men's voices of flite, and espeak-ng. */
export type Voice = 'slt' | 'rms' | 'awb' | 'espeak';

interface Sound {
  rate: number;
  samples: Int16Array;
}

/** Reads a WAV file of 16-bit PCM, one channel. Throws on anything else. */
export function readWav(bytes: Buffer): Sound {
  if (bytes.toString('latin1', 0, 4) !== 'RIFF' || bytes.toString('latin1', 8, 12) !== 'WAVE') {
    throw new Error('not a WAV file');
  }
  let rate = 0;
  for (let at = 12; at + 8 <= bytes.length; ) {
    const name = bytes.toString('latin1', at, at + 4);
    const from = at + 8;
    // A program that writes to a pipe cannot know the length and leaves nonsense in its place.
    const size = Math.min(bytes.readUInt32LE(at + 4), bytes.length - from);
    if (name === 'fmt ') {
      const [format, channels] = [bytes.readUInt16LE(from), bytes.readUInt16LE(from + 2)];
      const bits = bytes.readUInt16LE(from + 14);
      rate = bytes.readUInt32LE(from + 4);
      if (format !== 1 || channels !== 1 || bits !== 16) {
        throw new Error(`WAV of format ${format}, ${channels} channels, ${bits} bits; want 1, 1, 16`);
      }
    }
    if (name === 'data') {
      const samples = new Int16Array(size >> 1);
      for (let i = 0; i < samples.length; i++) samples[i] = bytes.readInt16LE(from + 2 * i);
      return { rate, samples };
    }
    at = from + size + (size % 2);
  }
  throw new Error('WAV without data');
}

export function writeWav({ rate, samples }: Sound): Buffer {
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
    bytes.writeInt16LE(sample, 44 + 2 * i);
  });
  return bytes;
}

/** Quiet before and after, so that no word is cut off. Seconds. */
const margin = 0.4;

/**
 * Has a synthetic voice say something.
 * @returns the path of a WAV file: 16-bit PCM, one channel, 16 kHz (flite) or 22.05 kHz (espeak-ng)
 */
export function sayWith(voice: Voice, text: string): string {
  const folder = join(tmpdir(), 'ownwords-voices');
  mkdirSync(folder, { recursive: true });
  const name = createHash('sha256').update(`${margin} ${voice} ${text}`).digest('hex').slice(0, 20);
  const path = join(folder, `${voice}-${name}.wav`);
  if (existsSync(path)) return path;
  const raw = `${path}.${process.pid}.raw`;
  if (voice === 'espeak') execFileSync('espeak-ng', ['-v', 'en-us', '-s', '150', '-w', raw, text]);
  else execFileSync('flite', ['-voice', voice, '-t', text, '-o', raw]);
  const { rate, samples } = readWav(readFileSync(raw));
  rmSync(raw);
  const quiet = Math.round(margin * rate);
  const padded = new Int16Array(samples.length + 2 * quiet);
  padded.set(samples, quiet);
  // Written aside and moved, so that two tests at once never see half a file.
  writeFileSync(`${path}.${process.pid}`, writeWav({ rate, samples: padded }));
  renameSync(`${path}.${process.pid}`, path);
  return path;
}
