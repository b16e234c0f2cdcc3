import { openDenoiser } from '../../audio/denoise';
import type { Heard } from '../../types';
import { Intake, type IntakeEvent, type IntakeTools } from '../intake';
import { type AnswerPhrases, phraseSources } from '../phrases';
import { SAMPLE_RATE } from '../rate';
import { tokens } from '../tokens';
import { type BeamOptions, type Read, read } from './beam';
import { Chances } from './chances';
import { Chunks } from './chunks';
import { everydayEnglish } from './everyday.en';
import { type ModelFiles, SpeechModel } from './model';
import { pieces } from './pieces';
import { Prior } from './prior';
import { type Odds, type ReadWord, turnTrust, wordsOf, wordTrust } from './trust';
import { everydayVocabulary } from './vocabulary.en';

/** Measured by tests/bench/hearing.ts on answers that were written to be learned from. */
const search = { beams: 9, weight: 0.6 };
/** No more than this much of the sound is filtered, 0..1: the model minds what a filter takes more than a rest of noise. */
const FILTERED = 0.55;
/** Speech after which the captions are brought up to date, samples. */
const LOOK_AFTER = 2.5 * SAMPLE_RATE;
/** Tokens a second, at most: people say half as many. */
const TOKENS = 6;

const vocabulary = new Chances(everydayVocabulary());
/** What is said at large. */
const atLarge = new Prior([], { vocabulary });
/** What is said at home about anything. Made once: some thousands of sentences. */
let everyday: string[][] | undefined;

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
  expect(phrases: AnswerPhrases): string[] {
    const key = JSON.stringify(phrases);
    if (key !== this.#priorOf) {
      everyday ??= everydayEnglish().map(tokens);
      const { likely = [], step, module } = phrases;
      const answers = { likely: likely.map(tokens), step: step.map(tokens), module: module.map(tokens) };
      this.#prior = new Prior(phraseSources(answers, everyday), {
        vocabulary,
        vocabularyShare: 0.3,
      });
      this.#priorOf = key;
    }
    return [];
  }

  /** Nothing but these words, in any order. */
  expectOnly(words: readonly string[]): void {
    this.#prior = new Prior([{ phrases: words.map(tokens), weight: 1 }], { strange: 1e-6 });
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
  /** Speech since what was said so far was last looked at, samples. */
  #sinceLook = 0;
  #shown = '';
  /** What was read last, word by word. */
  words: readonly ReadWord[] = [];

  constructor(model: SpeechModel, tools: IntakeTools, prior: Prior, sampleRate: number) {
    this.#model = model;
    this.#prior = prior;
    this.#intake = new Intake(tools, sampleRate, { most: FILTERED });
  }

  push(input: Float32Array): IntakeEvent[] {
    const { events, speech } = this.#intake.push(input);
    if (events.some(({ type }) => type === 'speech-start')) this.#chunks.pause();
    for (const chunk of speech) {
      this.#chunks.take(chunk);
      this.#sinceLook += chunk.length;
    }
    if (this.#pause === 'coming' && speech.length === 0) this.#pause = 'here';
    for (const { type } of events)
      if (type !== 'level') this.#pause = type === 'speech-end' ? 'coming' : 'none';
    return events;
  }

  /**
   * Reads what was said so far. When the speaker pauses it does so thoroughly: most of the work is done before a turn
   * ends. In the middle of speech it only looks now and then, for the captions.
   */
  async think(): Promise<{ type: 'interim'; heard: Heard } | undefined> {
    const paused = this.#pause === 'here';
    if (!paused && this.#sinceLook < LOOK_AFTER) return undefined;
    this.#sinceLook = 0;
    if (paused) this.#pause = 'none';
    const text = paused ? (await this.#read())?.text : await this.#look();
    if (!text || text === this.#shown) return undefined;
    this.#shown = text;
    // Half a reading has no honest score yet; 0 says so.
    return { type: 'interim', heard: { text, confidence: 0, alternatives: [], engine: 'embedded' } };
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
    const words = readings.flatMap((reading) => wordsOf(reading.tokens, this.#odds));
    this.words = words;
    return {
      text,
      confidence: turnTrust(words),
      alternatives: [],
      words: wordTrust(words),
      engine: 'embedded',
    };
  }

  readonly #odds: Odds = (before, word) => {
    let after = tokens(before).at(-1) ?? '';
    let odds = 0;
    for (const each of tokens(word)) {
      odds += Math.log(this.#prior.is(after, each) / atLarge.is('', each));
      after = each;
    }
    return odds;
  };

  /** What was read of the chunks that are whole, and at a glance what is being said. */
  async #look(): Promise<string> {
    const all = this.#chunks.all();
    const last = all.pop();
    if (!last) return '';
    const known = all.map((chunk, i) => {
      const known = this.#readings[i];
      return known?.length === chunk.length ? known.reading.text : '';
    });
    const glance = await this.#readAs(last, { beams: 1 });
    return [...known, glance.text].filter((text) => text !== '').join(' ');
  }

  #readOne(chunk: Float32Array): Promise<Read> {
    return this.#readAs(chunk, { ...search, prior: this.#prior, atLarge });
  }

  async #readAs(chunk: Float32Array, how: Omit<BeamOptions, 'pieces' | 'tokens' | 'most'>): Promise<Read> {
    const listening = await this.#model.listen(chunk);
    try {
      return await read(listening, { ...how, pieces, tokens, most: mostOf(chunk) });
    } finally {
      listening.end();
    }
  }
}

const mostOf = (chunk: Float32Array) => 4 + Math.ceil((TOKENS * chunk.length) / SAMPLE_RATE);
