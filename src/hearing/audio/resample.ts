import { join } from './join';

const ZEROS = 16; // zero crossings each side: about -80 dB of aliasing with the window below
const PHASES = 256;

/**
 * Streaming band-limited resampler: windowed-sinc interpolation (J. O. Smith, "Digital Audio Resampling").
 * `push` takes samples at the input rate and returns those at the output rate that are ready;
 * `flush` returns the tail. Rates in Hz.
 */
export class Resampler {
  readonly #step: number;
  readonly #half: number;
  readonly #table: Float32Array[];
  #held: Float32Array<ArrayBufferLike>;
  /** Position of the next output, in input samples from the start of what is held. */
  #position: number;

  constructor(from: number, to: number) {
    if (!(from > 0 && to > 0)) throw new Error(`cannot resample from ${from} Hz to ${to} Hz`);
    this.#step = from / to;
    const cutoff = Math.min(1, to / from) * 0.95;
    this.#half = Math.ceil(ZEROS / cutoff);
    this.#table = from === to ? [] : kernels(this.#half, cutoff);
    this.#held = new Float32Array(from === to ? 0 : this.#half);
    this.#position = this.#held.length;
  }

  push(input: Float32Array): Float32Array {
    if (this.#table.length === 0) return input;
    const held = join(this.#held, input);

    const half = this.#half;
    const last = held.length - half - 1;
    const count = Math.max(0, Math.floor((last - this.#position) / this.#step) + 1);
    const output = new Float32Array(count);
    for (let i = 0; i < count; i++) {
      const position = this.#position + i * this.#step;
      let whole = Math.floor(position);
      let phase = Math.round((position - whole) * PHASES);
      if (phase === PHASES) {
        phase = 0;
        whole++;
      }
      const kernel = this.#table[phase]!;
      let sum = 0;
      const first = whole - half;
      for (let k = 0; k < kernel.length; k++) sum += (held[first + k] ?? 0) * kernel[k]!;
      output[i] = sum;
    }
    const next = this.#position + count * this.#step;
    const drop = Math.max(0, Math.min(held.length, Math.floor(next) - half));
    this.#held = held.slice(drop);
    this.#position = next - drop;
    return output;
  }

  flush(): Float32Array {
    return this.#table.length === 0 ? new Float32Array(0) : this.push(new Float32Array(this.#half));
  }
}

/** All of a sound at once. */
export function resample(samples: Float32Array, from: number, to: number): Float32Array {
  if (from === to) return samples;
  const resampler = new Resampler(from, to);
  return join(resampler.push(samples), resampler.flush());
}

function kernels(half: number, cutoff: number): Float32Array[] {
  return Array.from({ length: PHASES }, (_, phase) => {
    const kernel = new Float32Array(2 * half + 1);
    let sum = 0;
    for (let k = 0; k < kernel.length; k++) {
      const x = k - half - phase / PHASES;
      const value = cutoff * sinc(cutoff * x) * blackman(x / (half + 1));
      kernel[k] = value;
      sum += value;
    }
    for (let k = 0; k < kernel.length; k++) kernel[k]! /= sum; // exact at 0 Hz
    return kernel;
  });
}

function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}

/** Blackman window over -1..1. */
function blackman(x: number): number {
  return Math.abs(x) >= 1 ? 0 : 0.42 + 0.5 * Math.cos(Math.PI * x) + 0.08 * Math.cos(2 * Math.PI * x);
}
