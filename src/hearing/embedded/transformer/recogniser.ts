import { openDenoiser } from '../../audio/denoise';
import type { Heard } from '../../types';
import { type AnswerPhrases, answerWeights } from '../answer-model';
import { everydayEnglish } from '../everyday.en';
import { Intake, type IntakeEvent, type IntakeTools } from '../intake';
import { tokens } from '../tokens';
import { everydayVocabulary } from '../vocabulary';
import { type Read, read } from './beam';
import { Chunks } from './chunks';
import { type ModelFiles, SAMPLE_RATE, SpeechModel } from './model';
import { pieces } from './pieces';
import { Prior } from './prior';
import { turnTrust, wordsOf, wordTrust } from './trust';

/** Measured by tests/bench/hearing.ts on answers that were written to be learned from. */
const search = { beams: 4, weight: 0.3 };
/** Filtered sound is mixed with this much of what it was made of, or more. */
const FILTERED = 0.7;
/** Tokens a second, at most: people say half as many. */
const TOKENS = 6;

/** What is said at large. */
const atLarge = new Prior([], { tokens, vocabulary: everydayVocabulary() });

export interface RecogniserEnvironment {
  files: ModelFiles;
  /** The module with the detector of speech. */
  module: IntakeTools['module'];
}

/**
 * The embedded recogniser of English: takes the phrases of a step, then the sound of a turn. Neither worker, microphone
 * nor clock: the same code hears files in Node.
 */
export class TransformerRecogniser {
  readonly #model: SpeechModel;
  readonly #tools: IntakeTools;
  #prior: Prior | undefined;
  #priorOf = '';

  private constructor(model: SpeechModel, tools: IntakeTools) {
    this.#model = model;
    this.#tools = tools;
  }

  static async open({ files, module }: RecogniserEnvironment): Promise<TransformerRecogniser> {
    return new TransformerRecogniser(await SpeechModel.open(files), {
      module,
      denoiser: await openDenoiser(),
    });
  }

  /** What is likely to be said. Any word can be heard, so none is ever unknown. */
  expect({ likely = [], step, module }: AnswerPhrases): string[] {
    const key = JSON.stringify([likely, step, module]);
    if (key !== this.#priorOf) {
      this.#prior = new Prior(
        [
          { phrases: likely, weight: answerWeights.likely },
          { phrases: step, weight: answerWeights.step },
          { phrases: module, weight: answerWeights.module },
          { phrases: everydayEnglish(), weight: answerWeights.everyday },
        ],
        { tokens, vocabulary: everydayVocabulary(), vocabularyShare: 0.3 },
      );
      this.#priorOf = key;
    }
    return [];
  }

  /** Nothing but these words, in any order. */
  expectOnly(words: readonly string[]): void {
    this.#prior = new Prior([{ phrases: words, weight: 1 }], { tokens, strange: 1e-6 });
    this.#priorOf = '';
  }

  /** Starts a turn for sound at `sampleRate` Hz. One turn at a time. */
  turn(sampleRate: number): TransformerTurn {
    if (!this.#prior) throw new Error('the recogniser was not told what to expect');
    return new TransformerTurn(this.#model, this.#tools, this.#prior, sampleRate);
  }
}

/** One spoken turn. */
export class TransformerTurn {
  readonly #model: SpeechModel;
  readonly #prior: Prior;
  readonly #intake: Intake;
  readonly #chunks = new Chunks();
  /** Readings by the sound they were read from; a chunk that has grown is read anew. */
  readonly #readings: { length: number; reading: Read }[] = [];
  /** Speech has ended and the last of it is on its way, or the whole of it is here. */
  #pause: 'none' | 'coming' | 'here' = 'none';
  #shown = '';

  constructor(model: SpeechModel, tools: IntakeTools, prior: Prior, sampleRate: number) {
    this.#model = model;
    this.#prior = prior;
    this.#intake = new Intake(tools, sampleRate, { most: FILTERED });
  }

  push(input: Float32Array): IntakeEvent[] {
    const { events, speech } = this.#intake.push(input);
    if (events.some(({ type }) => type === 'speech-start')) this.#chunks.pause();
    for (const chunk of speech) this.#chunks.take(chunk);
    if (this.#pause === 'coming' && speech.length === 0) this.#pause = 'here';
    for (const { type } of events)
      if (type !== 'level') this.#pause = type === 'speech-end' ? 'coming' : 'none';
    return events;
  }

  /** Reads what was said so far, when the speaker pauses: most of the work is done before a turn ends. */
  async think(): Promise<{ type: 'interim'; heard: Heard } | undefined> {
    if (this.#pause !== 'here') return undefined;
    this.#pause = 'none';
    const heard = await this.#read();
    if (!heard || heard.text === this.#shown) return undefined;
    this.#shown = heard.text;
    return { type: 'interim', heard };
  }

  /** Reads the rest. Undefined when there was no speech at all. */
  async finish(): Promise<Heard | undefined> {
    for (const chunk of this.#intake.finish()) this.#chunks.take(chunk);
    return this.#read();
  }

  cancel(): void {
    this.#intake.cancel();
  }

  async #read(): Promise<Heard | undefined> {
    const all = this.#chunks.all();
    for (const [i, chunk] of all.entries())
      if (this.#readings[i]?.length !== chunk.length)
        this.#readings[i] = { length: chunk.length, reading: await this.#readOne(chunk) };
    const readings = this.#readings.slice(0, all.length).map(({ reading }) => reading);
    const text = readings
      .map((reading) => reading.text)
      .filter((part) => part !== '')
      .join(' ');
    if (text === '') return undefined;
    const words = readings.flatMap((reading) => wordsOf(reading.tokens));
    return {
      text,
      confidence: turnTrust(words),
      alternatives: [],
      words: wordTrust(words),
      engine: 'embedded',
    };
  }

  async #readOne(chunk: Float32Array): Promise<Read> {
    return read(await this.#model.listen(chunk), {
      ...search,
      pieces,
      tokens,
      prior: this.#prior,
      atLarge,
      most: 4 + Math.ceil((TOKENS * chunk.length) / SAMPLE_RATE),
    });
  }
}
