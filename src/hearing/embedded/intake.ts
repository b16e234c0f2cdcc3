import type { Rnnoise } from '@shiguredo/rnnoise-wasm';
import type { SoundSwallowerModule } from 'soundswallower';
import { type Cleaned, Cleaner, type CleanerOptions } from '../audio/denoise';
import { join } from '../audio/join';
import { dbfs, peakDbfs, SILENCE } from '../audio/level';
import { SpeechDetector } from './detector';
import { SAMPLE_RATE } from './rate';

/** Seconds. */
const LEVEL_EVERY = 0.1;

export type IntakeEvent =
  | { type: 'level'; dbfs: number; peak: number }
  | { type: 'speech-start' }
  | { type: 'speech-end' };

export interface Taken {
  events: IntakeEvent[];
  /** Sound worth reading, at SAMPLE_RATE, in order. */
  speech: Float32Array[];
}

/** What an intake needs of what is loaded. */
export interface IntakeTools {
  denoiser: Rnnoise;
  module: SoundSwallowerModule;
}

/** One turn's sound on its way to the reader: its level as it came, then cleaned, then only where somebody speaks. */
export class Intake {
  readonly #cleaner: Cleaner;
  readonly #detector: SpeechDetector;
  readonly #levelEvery: number;
  #sinceLevel: Float32Array[] = [];
  #sinceLevelCount = 0;
  #peak = SILENCE;

  constructor({ denoiser, module }: IntakeTools, sampleRate: number, options?: CleanerOptions) {
    this.#levelEvery = LEVEL_EVERY * sampleRate;
    this.#cleaner = new Cleaner(denoiser, sampleRate, SAMPLE_RATE, options);
    this.#detector = new SpeechDetector(module);
  }

  push(input: Float32Array): Taken {
    const levels = this.#levels(input);
    const { events, speech } = this.#detect(this.#cleaner.push(input));
    return { events: [...levels, ...events], speech };
  }

  /** The speech that is still on its way. Nothing may be pushed afterwards. */
  finish(): Float32Array[] {
    const { speech } = this.#detect(this.#cleaner.flush());
    this.#cleaner.close();
    return [...speech, ...this.#detector.flush()];
  }

  cancel(): void {
    this.#cleaner.close();
  }

  /** Of the sound as it came: what the room is like is no longer heard in what was cleaned. */
  #levels(input: Float32Array): IntakeEvent[] {
    this.#peak = Math.max(this.#peak, peakDbfs(input));
    this.#sinceLevel.push(input);
    this.#sinceLevelCount += input.length;
    if (this.#sinceLevelCount < this.#levelEvery) return [];
    const level = dbfs(join(...this.#sinceLevel));
    const event: IntakeEvent = { type: 'level', dbfs: level, peak: this.#peak };
    this.#peak = SILENCE;
    this.#sinceLevel = [];
    this.#sinceLevelCount = 0;
    return [event];
  }

  #detect({ filtered, clear }: Cleaned): Taken {
    const { speech, changes } = this.#detector.push(filtered, clear);
    return { events: changes.map((type) => ({ type })), speech };
  }
}
