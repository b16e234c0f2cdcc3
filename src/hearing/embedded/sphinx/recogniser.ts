import type { Rnnoise } from '@shiguredo/rnnoise-wasm';
import { openDenoiser } from '../../audio/denoise';
import { join } from '../../audio/join';
import type { Heard } from '../../types';
import { Intake, type IntakeEvent } from '../intake';
import type { AnswerPhrases } from '../phrases';
import { SAMPLE_RATE } from '../rate';
import { answerModel } from './answer-model';
import { signsOf, turnConfidence, wordConfidences } from './confidence';
import { Decoder, type DecoderEnvironment } from './decoder';
import { type EarLanguage, earLanguage } from './language';
import type { LanguageModel } from './language-model';
import { PhoneLoop } from './phone-loop';
import { writtenText, writtenWords } from './written';

export type TurnEvent = IntakeEvent | { type: 'interim'; heard: Heard };

/** Speech that is held back to adapt by: less hears worse, more comes late. */
const ADAPT_OVER = 2.5 * SAMPLE_RATE;
const INTERIM_EVERY = 0.4 * SAMPLE_RATE;

/** What a turn is heard with. */
export interface Ear {
  language: EarLanguage;
  decoder: Decoder;
  loop: PhoneLoop;
  denoiser: Rnnoise;
}

/**
 * The embedded recogniser, one for each language: takes the phrases of a step, then the sound of a turn.
 * Neither worker, microphone nor clock: the same code hears files in Node.
 */
export class Recogniser {
  readonly #ear: Ear;
  #phrasesKey = '';
  #model: LanguageModel | undefined;

  private constructor(ear: Ear) {
    this.#ear = ear;
  }

  static async open(
    environment: DecoderEnvironment,
    language: string,
    settings?: Record<string, number>,
  ): Promise<Recogniser> {
    const decoder = await Decoder.open(environment, language, settings);
    const known = await earLanguage(language);
    return new Recogniser({
      language: known,
      decoder,
      loop: await PhoneLoop.beside(decoder, known.phones),
      denoiser: await openDenoiser(),
    });
  }

  /** Bytes of the decoder's WebAssembly memory. */
  get memory(): number {
    return this.#ear.decoder.memory;
  }

  /** The phones of a word, or undefined when the dictionary lacks it. */
  phones(word: string): string | undefined {
    return this.#ear.decoder.phones(word);
  }

  /** Makes the language model for what may be answered. Returns the words that cannot be heard. */
  expect(phrases: AnswerPhrases): string[] {
    const key = JSON.stringify(phrases);
    if (key !== this.#phrasesKey) {
      this.expectModel(answerModel(phrases, this.#ear.decoder, this.#ear.language));
      this.#phrasesKey = key;
    }
    return this.#model?.unknown ?? [];
  }

  /** Takes a language model as it is. */
  expectModel(model: LanguageModel): void {
    this.#model = undefined;
    this.#phrasesKey = '';
    this.#ear.decoder.setGrammar(model);
    this.#model = model;
  }

  /** Starts a turn for sound at `sampleRate` Hz. One turn at a time. */
  turn(sampleRate: number): Turn {
    if (!this.#model) throw new Error('the recogniser was not told what to expect');
    return new Turn(this.#ear, this.#model, sampleRate);
  }
}

/** One spoken turn. Between `push` and `finish` the decoder belongs to it. */
export class Turn {
  readonly #ear: Ear;
  readonly #model: Pick<LanguageModel, 'follows'>;
  readonly #intake: Intake;
  #open = false;
  #held: Float32Array[] = [];
  #heldCount = 0;
  #sinceInterim = 0;
  #interim = '';

  constructor(ear: Ear, model: Pick<LanguageModel, 'follows'>, sampleRate: number) {
    this.#ear = ear;
    this.#model = model;
    this.#intake = new Intake({ denoiser: ear.denoiser, module: ear.decoder.module }, sampleRate);
  }

  push(input: Float32Array): TurnEvent[] {
    const { events, speech } = this.#intake.push(input);
    for (const chunk of speech) this.#decode(chunk);
    const interim = this.#interimHeard();
    return interim ? [...events, { type: 'interim', heard: interim }] : events;
  }

  /** Decodes the rest. Undefined when there was no speech at all. */
  finish(): Heard | undefined {
    for (const chunk of this.#intake.finish()) this.#decode(chunk);
    if (this.#heldCount > 0) this.#begin();
    if (!this.#open) return undefined;
    const decoded = this.#ear.decoder.finish();
    const free = this.#ear.loop.finish();
    this.#open = false;
    if (decoded.text === '') return undefined;
    const { tokens, joins } = this.#ear.language;
    const heard = writtenWords(decoded.words, joins);
    // A word as it is written may be more than one to the language model.
    const follows = (before: string, word: string) =>
      this.#model.follows(tokens(before).at(-1) ?? '', tokens(word)[0] ?? '');
    const signs = signsOf(heard, follows, free);
    const words = wordConfidences(signs);
    return {
      text: heard.map(({ word }) => word).join(' '),
      confidence: turnConfidence(signs),
      alternatives: [],
      words: heard.map(({ word }, i) => ({ word, confidence: words[i]! })),
      engine: 'embedded',
    };
  }

  /** Lets go of the decoder without a reading. */
  cancel(): void {
    this.#intake.cancel();
    if (!this.#open) return;
    this.#ear.decoder.finish();
    this.#ear.loop.finish();
    this.#open = false;
  }

  #interimHeard(): Heard | undefined {
    if (!this.#open || this.#sinceInterim < INTERIM_EVERY) return undefined;
    this.#sinceInterim = 0;
    const text = writtenText(plain(this.#ear.decoder.text()), this.#ear.language.joins);
    if (text === '' || text === this.#interim) return undefined;
    this.#interim = text;
    // Half a reading has no honest score yet; 0 says so.
    return { text, confidence: 0, alternatives: [], engine: 'embedded' };
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
    const start = join(...this.#held);
    this.#held = [];
    this.#heldCount = 0;
    const { decoder, loop } = this.#ear;
    for (const each of [decoder, loop]) {
      each.adaptTo(start);
      each.start();
    }
    this.#open = true;
    this.#feed(start);
  }

  #feed(chunk: Float32Array): void {
    this.#ear.decoder.feed(chunk);
    this.#ear.loop.feed(chunk);
    this.#sinceInterim += chunk.length;
  }
}

function plain(text: string): string[] {
  return text
    .split(' ')
    .filter((word) => word !== '' && !/^[<[+(]/.test(word))
    .map((word) => word.replace(/\(\d+\)$/, ''));
}
