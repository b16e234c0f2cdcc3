import type { SoundSwallowerModule } from 'soundswallower';
import { join } from '../audio/join';
import { SAMPLE_RATE } from './rate';

/** Sound kept before a start was noticed: the first consonant is over by then. */
const LEAD_IN = 0.4 * SAMPLE_RATE;
/** Sound still handed on after an end: it closes the last word. Longer pauses are cut to this. */
const LEAD_OUT = 0.4 * SAMPLE_RATE;

export interface Detected {
  /** Sound worth decoding, in order. */
  speech: Float32Array[];
  changes: ('speech-start' | 'speech-end')[];
}

/**
 * Finds speech in a stream at SAMPLE_RATE with the recogniser's own endpointer. Its `end_stream` reads freed
 * memory, so the tail is pushed through with silence instead; with a window longer than 0.3 s a word of 0.4 s
 * is never found.
 */
export class SpeechDetector {
  readonly #endpointer: InstanceType<SoundSwallowerModule['Endpointer']>;
  readonly #frameSize: number;
  #rest: Float32Array = new Float32Array(0);
  #restInstead: Float32Array = new Float32Array(0);
  #before: Float32Array[] = [];
  #speaking = false;
  #after = 0;

  constructor(module: SoundSwallowerModule) {
    // Measured: of 30 short words ("yes", "no", "help" in three voices) all are found, loud or quiet, and no
    // noise, hum or knock is taken for speech. The default (ratio 0.9, mode 0) misses quiet ones.
    this.#endpointer = new module.Endpointer({ samprate: SAMPLE_RATE, window: 0.3, ratio: 0.7, mode: 1 });
    this.#frameSize = this.#endpointer.get_frame_size();
    // A word at the very start of a recording is found as well, when silence went before it.
    this.push(new Float32Array(this.#frameSize * 10));
  }

  /** Finds speech in `samples`. What is handed on is `instead`: the same time, treated another way. */
  push(samples: Float32Array, instead: Float32Array = samples): Detected {
    const detected: Detected = { speech: [], changes: [] };
    const all = join(this.#rest, samples);
    const other = join(this.#restInstead, instead);
    let at = 0;
    for (; at + this.#frameSize <= all.length; at += this.#frameSize)
      this.#frame(all.slice(at, at + this.#frameSize), other.slice(at, at + this.#frameSize), detected);
    this.#rest = all.slice(at);
    this.#restInstead = other.slice(at);
    return detected;
  }

  /** What is left of the last frame, when it belongs to speech. */
  flush(): Float32Array[] {
    const padded = new Float32Array(this.#frameSize * 10);
    return this.push(padded).speech;
  }

  #frame(heard: Float32Array, frame: Float32Array, detected: Detected): void {
    this.#endpointer.process(heard);
    const speaking = this.#endpointer.get_in_speech();
    if (speaking !== this.#speaking) {
      this.#speaking = speaking;
      detected.changes.push(speaking ? 'speech-start' : 'speech-end');
      if (speaking) {
        detected.speech.push(...this.#before);
        this.#before = [];
      } else {
        this.#after = LEAD_OUT;
      }
    }
    if (speaking) {
      detected.speech.push(frame);
    } else if (this.#after > 0) {
      this.#after -= frame.length;
      detected.speech.push(frame);
    } else {
      this.#before.push(frame);
      if (this.#before.length * this.#frameSize > LEAD_IN) this.#before.shift();
    }
  }
}
