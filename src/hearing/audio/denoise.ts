import type { DenoiseState, Rnnoise } from '@shiguredo/rnnoise-wasm';
import { join } from './join';
import { dbfs } from './level';
import { Resampler } from './resample';

/** The rate that RNNoise was trained on, Hz. */
const RATE = 48_000;
/** Samples by which what comes out of it is late: measured, two of its frames. */
const LATE = 960;
/**
 * Noise floors, dBFS: below the first a room is left as it is, for even a good filter costs words (of clean speech
 * 25.0 % were wrong when all of it was filtered, 24.5 % so); above the second all of its sound is filtered.
 */
const QUIET = -50;
const NOISY = -40;
/**
 * The floor is what this share of the last frames, of a hundredth of a second each, stays below: people pause. Before
 * there are so many frames as `least` it is not known, and the room is taken for a noisy one.
 */
const FLOOR = { share: 0.1, frames: 300, least: 100 };

/**
 * RNNoise (J.-M. Valin, "A Hybrid DSP/Deep Learning Approach to Real-Time Full-Band Speech Enhancement", 2018):
 * takes noise out of speech. Rejects when it does not load.
 */
export async function openDenoiser(): Promise<Rnnoise> {
  const { Rnnoise } = await import('@shiguredo/rnnoise-wasm');
  const scope = globalThis as { WorkerGlobalScope?: unknown; self?: unknown };
  if (scope.WorkerGlobalScope || 'window' in scope) return Rnnoise.load();
  // Built for browsers only, but needs nothing of them: in Node it is told that it is in a worker.
  Object.assign(scope, { WorkerGlobalScope: Object, self: { location: { href: 'file:///' } } });
  try {
    return await Rnnoise.load();
  } finally {
    delete scope.WorkerGlobalScope;
    delete scope.self;
  }
}

/** The same time twice. */
export interface Cleaned {
  /** Without noise, whatever the room: to find speech in. */
  filtered: Float32Array;
  /** Without noise in a noisy room, as it came in a quiet one: to recognise. */
  clear: Float32Array;
}

export interface CleanerOptions {
  /** The most of `clear` that is filtered, 0..1: some ears are hurt more by what a filter takes than by a rest of noise. */
  most?: number;
}

/** One turn's sound in, at `from` Hz, and out, at `to` Hz, without its noise. `close` it afterwards. */
export class Cleaner {
  readonly #in: Resampler;
  readonly #filteredOut: Resampler;
  readonly #clearOut: Resampler;
  readonly #state: DenoiseState;
  readonly #size: number;
  #rest = new Float32Array(0);
  /** The last sound as it came, to be as late as what is filtered. */
  #before = new Float32Array(LATE);
  readonly #levels: number[] = [];
  readonly #most: number;
  /** How much of the sound is filtered, 0..1. */
  #share: number;

  constructor(rnnoise: Rnnoise, from: number, to: number, { most = 1 }: CleanerOptions = {}) {
    this.#most = most;
    this.#share = most;
    this.#in = new Resampler(from, RATE);
    this.#filteredOut = new Resampler(RATE, to);
    this.#clearOut = new Resampler(RATE, to);
    this.#state = rnnoise.createDenoiseState();
    this.#size = rnnoise.frameSize;
  }

  push(input: Float32Array): Cleaned {
    return this.#clean(this.#in.push(input));
  }

  /** What is left. */
  flush(): Cleaned {
    return this.#clean(join(this.#in.flush(), new Float32Array(LATE + this.#size)));
  }

  close(): void {
    this.#state.destroy();
  }

  #clean(samples: Float32Array): Cleaned {
    const all = join(this.#rest, samples);
    const whole = all.length - (all.length % this.#size);
    const late = join(this.#before, all.subarray(0, whole));
    this.#before = late.slice(whole);
    const filtered = new Float32Array(whole);
    const clear = new Float32Array(whole);
    for (let at = 0; at < whole; at += this.#size) {
      const share = this.#needed(dbfs(all.subarray(at, at + this.#size)));
      // It reckons in 16-bit steps.
      const frame = all.slice(at, at + this.#size);
      for (let i = 0; i < this.#size; i++) frame[i]! *= 32_768;
      this.#state.processFrame(frame);
      for (let i = 0; i < this.#size; i++) {
        const sample = frame[i]! / 32_768;
        filtered[at + i] = sample;
        clear[at + i] = share * sample + (1 - share) * late[at + i]!;
      }
    }
    this.#rest = all.slice(whole);
    return { filtered: this.#filteredOut.push(filtered), clear: this.#clearOut.push(clear) };
  }

  /** The share to be filtered after a frame of this level: it follows the noise floor within a few frames. */
  #needed(level: number): number {
    this.#levels.push(level);
    if (this.#levels.length > FLOOR.frames) this.#levels.shift();
    if (this.#levels.length < FLOOR.least) return this.#share;
    const sorted = Float64Array.from(this.#levels).sort();
    const floor = sorted[Math.floor(FLOOR.share * sorted.length)]!;
    const wanted = this.#most * Math.min(1, Math.max(0, (floor - QUIET) / (NOISY - QUIET)));
    this.#share += 0.1 * (wanted - this.#share);
    return this.#share;
  }
}
