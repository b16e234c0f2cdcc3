import { join } from '../../audio/join';
import { dbfs } from '../../audio/level';
import { SAMPLE_RATE } from '../rate';

/** A pause after so much speech ends a chunk; so much without a pause is cut where it is quietest. Samples. */
const ENOUGH = 8 * SAMPLE_RATE;
const TOO_MUCH = 18 * SAMPLE_RATE;
/** Where a chunk may be cut: over so much of its end, in steps of so much. */
const SEARCH = 5 * SAMPLE_RATE;
const STEP = SAMPLE_RATE / 20;

/**
 * The speech of a turn in pieces that can be read by themselves: the cost of reading grows faster than its length,
 * and the model was made for less than half a minute.
 */
export class Chunks {
  readonly #closed: Float32Array[] = [];
  #open: Float32Array[] = [];
  #length = 0;

  take(speech: Float32Array): void {
    this.#open.push(speech);
    this.#length += speech.length;
    if (this.#length < TOO_MUCH) return;
    const all = join(...this.#open);
    const cut = quietest(all);
    this.#close(all.slice(0, cut));
    this.#open = [all.slice(cut)];
    this.#length = all.length - cut;
  }

  /** The speaker pauses. */
  pause(): void {
    if (this.#length < ENOUGH) return;
    this.#close(join(...this.#open));
    this.#open = [];
    this.#length = 0;
  }

  /** All speech so far, in order; the last may still grow. */
  all(): Float32Array[] {
    return this.#length > 0 ? [...this.#closed, join(...this.#open)] : [...this.#closed];
  }

  #close(chunk: Float32Array): void {
    this.#closed.push(chunk);
  }
}

function quietest(sound: Float32Array): number {
  let best = sound.length;
  let least = Number.POSITIVE_INFINITY;
  for (let at = sound.length - SEARCH; at + STEP <= sound.length; at += STEP) {
    const level = dbfs(sound.subarray(at, at + STEP));
    if (level < least) {
      least = level;
      best = at + STEP / 2;
    }
  }
  return best;
}
