/*
 * Sound in bands, and how loud an echo of what was played may be in each: for the question whether a voice over the
 * kiosk's own voice can be told from it. 16 kHz throughout; a hop is 10 ms.
 */

const SIZE = 512;
const HOP = 160;
const BANDS = 16;
/** Between these, Hz, evenly on the mel scale. */
const [FROM, TO] = [200, 7000];
/** Hops: the longest delay between playing and hearing. */
const LONGEST = 40;
/** dB a hop by which an echo dies away at most slowly: 60 dB in 0.6 s. */
const FALL = 1;
/** The echo is as loud as in this share of the hops of the calibration. */
const LOUD = 0.95;

/** dB. */
export type Band = Float32Array;
export type Hop = Float32Array;

const mel = (hz: number) => 2595 * Math.log10(1 + hz / 700);
const hz = (m: number) => 700 * (10 ** (m / 2595) - 1);
const edges = Array.from({ length: BANDS + 1 }, (_, i) =>
  Math.round((hz(mel(FROM) + ((mel(TO) - mel(FROM)) * i) / BANDS) * SIZE) / 16_000),
);
const window = Float32Array.from({ length: SIZE }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / SIZE));

const turns = Array.from({ length: SIZE / 2 }, (_, k) => {
  const angle = (-2 * Math.PI * k) / SIZE;
  return [Math.cos(angle), Math.sin(angle)] as const;
});

/** In place, 512 samples, radix 2 (Cooley and Tukey 1965). */
export function fft(real: Float32Array, imaginary: Float32Array): void {
  const n = real.length;
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      [real[i], real[j]] = [real[j]!, real[i]!];
      [imaginary[i], imaginary[j]] = [imaginary[j]!, imaginary[i]!];
    }
  }
  for (let size = 2; size <= n; size <<= 1) {
    for (let start = 0; start < n; start += size) {
      for (let k = 0; k < size / 2; k++) {
        const [c, s] = turns[(k * n) / size]!;
        const [a, b] = [start + k, start + k + size / 2];
        const re = real[b]! * c - imaginary[b]! * s;
        const im = real[b]! * s + imaginary[b]! * c;
        real[b] = real[a]! - re;
        imaginary[b] = imaginary[a]! - im;
        real[a]! += re;
        imaginary[a]! += im;
      }
    }
  }
}

/** Level of each band, hop by hop, dB. */
export function bandPowers(samples: Float32Array): Hop[] {
  const hops: Hop[] = [];
  for (let at = 0; at + HOP <= samples.length; at += HOP) {
    const real = new Float32Array(SIZE);
    // The window ends with the hop: nothing of the future is known.
    const from = at + HOP - SIZE;
    for (let i = 0; i < SIZE; i++) real[i] = (samples[from + i] ?? 0) * window[i]!;
    const imaginary = new Float32Array(SIZE);
    fft(real, imaginary);
    hops.push(
      Float32Array.from({ length: BANDS }, (_, band) => {
        let power = 1e-12;
        for (let k = edges[band]!; k < edges[band + 1]!; k++) power += real[k]! ** 2 + imaginary[k]! ** 2;
        return 10 * Math.log10(power);
      }),
    );
  }
  return hops;
}

const sum = (hop: Hop) => hop.reduce((all, band) => all + band, 0);

/** What a microphone hears of the sound played, learned from one sentence while nobody spoke. */
export class EchoGuess {
  readonly delay: number;
  /** How much softer than played, dB a band. */
  readonly #coupling: Float32Array;
  /** The room without any echo, dB a band. */
  readonly #floor: Float32Array;

  constructor(played: readonly Hop[], heard: readonly Hop[]) {
    this.delay = bestDelay(played, heard);
    const reach = this.#reach(played, heard.length);
    const quantile = (values: number[], share: number) =>
      values.sort((a, b) => a - b)[Math.floor(share * (values.length - 1))]!;
    this.#floor = Float32Array.from({ length: BANDS }, (_, band) =>
      quantile(
        heard.map((hop) => hop[band]!),
        0.05,
      ),
    );
    this.#coupling = Float32Array.from({ length: BANDS }, (_, band) => {
      const differences = heard
        .map((hop, index) => hop[band]! - reach[index]![band]!)
        .filter((_, index) => heard[index]![band]! > this.#floor[band]! + 10);
      return differences.length > 0 ? quantile(differences, LOUD) : 0;
    });
  }

  /** How far each band is above what the echo and the room explain, dB. */
  above(played: readonly Hop[], heard: readonly Hop[]): Float32Array[] {
    const reach = this.#reach(played, heard.length);
    return heard.map((hop, index) =>
      hop.map((level, band) => {
        const echo = reach[index]![band]! + this.#coupling[band]!;
        return level - Math.max(echo, this.#floor[band]! + 6);
      }),
    );
  }

  /** The sound played as it may still be in the room: late, and dying away. */
  #reach(played: readonly Hop[], length: number): Hop[] {
    const reach: Hop[] = [];
    for (let index = 0; index < length; index++) {
      const before = reach.at(-1);
      reach.push(
        Float32Array.from({ length: BANDS }, (_, band) => {
          let level = (before?.[band] ?? -200) - FALL;
          for (let around = -2; around <= 2; around++)
            level = Math.max(level, played[index - this.delay + around]?.[band] ?? -200);
          return level;
        }),
      );
    }
    return reach;
  }
}

/** Hops by which what is heard follows best what was played. */
function bestDelay(played: readonly Hop[], heard: readonly Hop[]): number {
  const [a, b] = [played.map(sum), heard.map(sum)];
  const mean = (values: number[]) => values.reduce((all, x) => all + x, 0) / values.length;
  const [ma, mb] = [mean(a), mean(b)];
  let [best, at] = [Number.NEGATIVE_INFINITY, 0];
  for (let delay = 0; delay <= LONGEST; delay++) {
    let likeness = 0;
    for (let i = 0; i < a.length; i++) likeness += (a[i]! - ma) * ((b[i + delay] ?? mb) - mb);
    if (likeness > best) [best, at] = [likeness, delay];
  }
  return at;
}

/** True from the hop on at which ten of the last thirteen were: 130 ms. */
export function sustained(hops: readonly boolean[]): boolean[] {
  return hops.map((_, index) => hops.slice(Math.max(0, index - 12), index + 1).filter(Boolean).length >= 10);
}
