import { dbfs, peakDbfs, SILENCE } from '../audio/level';
import { Resampler } from '../audio/resample';
import type { Heard } from '../types';
import { type AnswerPhrases, answerModel } from './answer-model';
import { turnConfidence, wordConfidences } from './confidence';
import { Decoder, type DecoderEnvironment, SAMPLE_RATE } from './decoder';
import { SpeechDetector } from './detector';
import type { LanguageModel } from './language-model';

export type TurnEvent =
  | { type: 'level'; dbfs: number; peak: number }
  | { type: 'speech-start' }
  | { type: 'speech-end' }
  | { type: 'interim'; heard: Heard };

const LEVEL_EVERY = 0.1 * SAMPLE_RATE;
/** Speech that is held back to adapt by: less hears worse, more comes late. */
const ADAPT_OVER = 2.5 * SAMPLE_RATE;
const INTERIM_EVERY = 0.4 * SAMPLE_RATE;

/**
 * The embedded recogniser, one for each language: takes the phrases of a step, then the sound of a turn.
 * Neither worker, microphone nor clock: the same code hears files in Node.
 */
export class Recogniser {
  readonly #decoder: Decoder;
  #phrasesKey = '';
  #model: LanguageModel | undefined;

  constructor(decoder: Decoder) {
    this.#decoder = decoder;
  }

  static async open(
    environment: DecoderEnvironment,
    language: string,
    settings?: Record<string, number>,
  ): Promise<Recogniser> {
    return new Recogniser(await Decoder.open(environment, language, settings));
  }

  /** Makes the language model for what may be answered. Returns the words that cannot be heard. */
  expect(phrases: AnswerPhrases): string[] {
    const key = JSON.stringify(phrases);
    if (key !== this.#phrasesKey) {
      const model = answerModel(phrases, this.#decoder);
      this.#model = undefined;
      this.#phrasesKey = '';
      this.#decoder.setGrammar(model);
      this.#phrasesKey = key;
      this.#model = model;
    }
    return this.#model?.unknown ?? [];
  }

  /** Starts a turn for sound at `sampleRate` Hz. One turn at a time. */
  turn(sampleRate: number): Turn {
    if (!this.#model) throw new Error('the recogniser was not told what to expect');
    return new Turn(this.#decoder, this.#model, sampleRate);
  }
}

/** One spoken turn. Between `push` and `finish` the decoder belongs to it. */
export class Turn {
  readonly #decoder: Decoder;
  readonly #model: Pick<LanguageModel, 'follows'>;
  readonly #resampler: Resampler;
  readonly #detector: SpeechDetector;
  #open = false;
  #held: Float32Array[] = [];
  #heldCount = 0;
  #sinceLevel: Float32Array[] = [];
  #sinceLevelCount = 0;
  #peak = SILENCE;
  #sinceInterim = 0;
  #interim = '';

  constructor(decoder: Decoder, model: Pick<LanguageModel, 'follows'>, sampleRate: number) {
    this.#decoder = decoder;
    this.#model = model;
    this.#resampler = new Resampler(sampleRate, SAMPLE_RATE);
    this.#detector = new SpeechDetector(decoder.module);
  }

  push(input: Float32Array): TurnEvent[] {
    // Before resampling, which rounds off what was clipped.
    this.#peak = Math.max(this.#peak, peakDbfs(input));
    return this.#take(this.#resampler.push(input));
  }

  /** Decodes the rest. Undefined when there was no speech at all. */
  finish(): Heard | undefined {
    this.#take(this.#resampler.flush());
    for (const chunk of this.#detector.flush()) this.#decode(chunk);
    if (this.#heldCount > 0) this.#begin();
    if (!this.#open) return undefined;
    const decoded = this.#decoder.finish();
    this.#open = false;
    if (decoded.text === '') return undefined;
    const words = wordConfidences(decoded.words, this.#model.follows);
    return {
      text: decoded.text,
      confidence: turnConfidence(decoded.words, words),
      alternatives: [],
      words: decoded.words.map(({ word }, i) => ({ word, confidence: words[i]! })),
      engine: 'embedded',
    };
  }

  /** Lets go of the decoder without a reading. */
  cancel(): void {
    if (this.#open) this.#decoder.finish();
    this.#open = false;
  }

  #take(samples: Float32Array): TurnEvent[] {
    const events: TurnEvent[] = [];
    if (samples.length === 0) return events;
    this.#sinceLevel.push(samples);
    this.#sinceLevelCount += samples.length;
    if (this.#sinceLevelCount >= LEVEL_EVERY) {
      events.push({
        type: 'level',
        dbfs: dbfs(joined(this.#sinceLevel, this.#sinceLevelCount)),
        peak: this.#peak,
      });
      this.#peak = SILENCE;
      this.#sinceLevel = [];
      this.#sinceLevelCount = 0;
    }
    const { speech, changes } = this.#detector.push(samples);
    for (const change of changes) events.push({ type: change });
    for (const chunk of speech) this.#decode(chunk);
    if (this.#open && this.#sinceInterim >= INTERIM_EVERY) {
      this.#sinceInterim = 0;
      const text = cleaned(this.#decoder.text());
      if (text !== '' && text !== this.#interim) {
        this.#interim = text;
        // Half a reading has no honest score yet; 0 says so.
        events.push({
          type: 'interim',
          heard: { text, confidence: 0, alternatives: [], engine: 'embedded' },
        });
      }
    }
    return events;
  }

  #decode(chunk: Float32Array): void {
    if (this.#open) {
      this.#feed(chunk);
      return;
    }
    this.#held.push(chunk);
    this.#heldCount += chunk.length;
    if (this.#heldCount >= ADAPT_OVER) this.#begin();
  }

  /** Adapts to the voice by what was held back, then decodes it. */
  #begin(): void {
    const start = joined(this.#held, this.#heldCount);
    this.#held = [];
    this.#heldCount = 0;
    this.#decoder.adaptTo(start);
    this.#decoder.start();
    this.#open = true;
    this.#feed(start);
  }

  #feed(chunk: Float32Array): void {
    this.#decoder.feed(chunk);
    this.#sinceInterim += chunk.length;
  }
}

function cleaned(text: string): string {
  return text
    .split(' ')
    .filter((word) => word !== '' && !/^[<[+(]/.test(word))
    .map((word) => word.replace(/\(\d+\)$/, ''))
    .join(' ');
}

function joined(chunks: readonly Float32Array[], length: number): Float32Array {
  const all = new Float32Array(length);
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
  }
  return all;
}
