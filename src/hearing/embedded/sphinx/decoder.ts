import type createModule from 'soundswallower';
import type { SoundSwallowerModule } from 'soundswallower';
import { modelFor } from '../models';
import { SAMPLE_RATE } from '../rate';
import { meanCepstrum } from './cepstrum';
import type { LanguageModel } from './language-model';

/** What the decoder needs of where it runs: the same code hears in Node and in a browser's worker. */
export interface DecoderEnvironment {
  createModule: typeof createModule;
  /** Folder or address, ending in "/", that holds one folder of model files a language. */
  modelBase: string;
  /** Where the .wasm is, when it does not lie beside the script. */
  locateFile?: (name: string) => string;
}

export interface DecodedWord {
  word: string;
  /** Seconds from the start of the utterance. */
  start: number;
  seconds: number;
  /** The decoder's own figure; not a posterior (see confidence.ts). */
  score: number;
}

/** Natural logarithm of a score, also of one that was rounded to nothing. */
export const logScore = (score: number): number => Math.log(Math.max(score, 1e-6));

export interface Decoded {
  text: string;
  words: DecodedWord[];
}

/**
 * Settings of the sound analysis that a model needs and its feat_params.json does not have. The French model was made
 * from sound of 8 kHz with 15 bands between 200 and 3500 Hz and no removal of noise, and is shipped with the file of
 * the English one: heard with that, half of the words of a closed grammar come out wrong instead of a tenth.
 */
const analysis: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  'fr-fr': { lowerf: 200, upperf: 3500, nfilt: 15, remove_noise: 0 },
};

/** Entry points of the WebAssembly that the package's own class leaves out or does by a fetch. */
interface Internals {
  HEAPU8: Uint8Array;
  _malloc(bytes: number): number;
  _free(address: number): void;
  _s3file_init(address: number, bytes: number): number;
  _s3file_free(file: number): void;
  _decoder_init_cleanup(decoder: number): number;
  _decoder_init_grammar_s3file(decoder: number, fsg: number, jsgf: number): number;
  _decoder_init_dict_s3file(decoder: number, words: number, fillers: number): number;
  _decoder_init_fe(decoder: number): number;
  _decoder_init_feat_s3file(decoder: number, lda: number): number;
  _acmod_reinit_feat(model: number, frontEnd: number, features: number): number;
}

type Inner = InstanceType<SoundSwallowerModule['Decoder']> & {
  cdecoder: number;
  cacmod: number;
  init_dict(): Promise<void>;
  init_featparams(): Promise<void>;
};

/** Search settings, measured by tests/bench/hearing.ts. Beams are probabilities, `lw` an exponent. */
export const defaultSettings: Readonly<Record<string, number>> = {
  samprate: SAMPLE_RATE,
  lw: 7,
  beam: 1e-48,
  pbeam: 1e-48,
  wbeam: 1e-40,
};

/**
 * One acoustic model in memory. Grammars are swapped; there is no way to give the memory back short of
 * ending the worker (the package's `delete` leaks), so keep one for each language.
 */
export class Decoder {
  readonly #module: SoundSwallowerModule & Internals;
  readonly #inner: Inner;
  readonly #model: string;
  readonly #hmm: string;
  /** The package never frees the answer to a look-up, so each word is looked up once. */
  readonly #phones = new Map<string, string | undefined>();

  private constructor(module: SoundSwallowerModule & Internals, inner: Inner, model: string, hmm: string) {
    this.#module = module;
    this.#inner = inner;
    this.#model = model;
    this.#hmm = hmm;
  }

  /** Loads the model. Rejects when a file is missing or broken. */
  static async open(
    environment: DecoderEnvironment,
    language: string,
    settings: Record<string, number> = {},
  ): Promise<Decoder> {
    const model = modelFor(language)?.folder;
    if (!model) throw new Error(`no acoustic model for the language "${language}"`);
    const module = (await environment.createModule({
      modelBase: environment.modelBase,
      ...(environment.locateFile ? { locateFile: environment.locateFile } : {}),
      print: () => {},
      printErr: () => {},
    } as Parameters<typeof createModule>[0])) as SoundSwallowerModule & Internals;
    const hmm = environment.modelBase + model;
    const inner = new module.Decoder({ hmm, loglevel: 'FATAL', ...defaultSettings, ...settings }) as Inner;
    analyseAs(inner, model);
    await inner.initialize();
    return new Decoder(module, inner, model, hmm);
  }

  /**
   * A second one in the same WebAssembly, that knows no words until they are added: it takes 7 MB more, for the
   * dictionary is what is large.
   */
  async beside(): Promise<Decoder> {
    const module = this.#module;
    const inner = new module.Decoder({ hmm: this.#hmm, loglevel: 'FATAL', ...defaultSettings }) as Inner;
    inner.init_dict = async () => {
      if (module._decoder_init_dict_s3file(inner.cdecoder, 0, 0) === 0)
        throw new Error('the recogniser could not start without a dictionary');
    };
    analyseAs(inner, this.#model);
    await inner.initialize();
    return new Decoder(module, inner, this.#model, this.#hmm);
  }

  get module(): SoundSwallowerModule {
    return this.#module;
  }

  /** The phones of a word ("SH EY K"), or undefined when the dictionary lacks it. */
  phones(word: string): string | undefined {
    if (!this.#phones.has(word)) this.#phones.set(word, this.#inner.lookup_word(word) ?? undefined);
    return this.#phones.get(word);
  }

  addWords(words: [word: string, phones: string][]): void {
    if (words.length === 0) return;
    this.#inner.add_words(...words);
    for (const [word] of words) this.#phones.delete(word);
  }

  /** Bytes of WebAssembly memory. It never shrinks. */
  get memory(): number {
    return this.#module.HEAPU8.length;
  }

  /**
   * Takes a grammar in FSG text in place of the one before: two at once would take twice the memory, and what
   * is left over between them fits no third. Throws when a word is not in the dictionary, before the package sees
   * it: a grammar that it refuses it frees twice, and may then hang for ever.
   */
  setGrammar({ fsg, words }: Pick<LanguageModel, 'fsg' | 'words'>): void {
    const unknown = words.find((word) => this.phones(word) === undefined);
    if (unknown !== undefined) throw new Error(`the recogniser has no pronunciation for "${unknown}"`);
    this.#module._decoder_init_cleanup(this.#inner.cdecoder);
    const bytes = new TextEncoder().encode(fsg);
    const address = this.#module._malloc(bytes.length + 1);
    if (address === 0) throw new Error('out of memory for the grammar');
    this.#module.HEAPU8.set(bytes, address);
    this.#module.HEAPU8[address + bytes.length] = 0;
    const file = this.#module._s3file_init(address, bytes.length);
    const result = this.#module._decoder_init_grammar_s3file(this.#inner.cdecoder, file, 0);
    this.#module._s3file_free(file);
    this.#module._free(address);
    if (result < 0) throw new Error('the recogniser refused the grammar');
  }

  /**
   * Tells the recogniser, before an utterance, how this voice in this microphone sounds on average. Left to find
   * out while it decodes, it makes a quarter more errors (25.5 % against 19.3 % of words in unseen answers).
   */
  adaptTo(samples: Float32Array): void {
    const { data, nfeat } = this.#inner.spectrogram(dithered(samples));
    const mean = meanCepstrum(data, nfeat);
    if (!mean.every(Number.isFinite)) return;
    this.#inner.set_config('cmninit', mean.map((value) => value.toFixed(3)).join(','));
    const frontEnd = this.#module._decoder_init_fe(this.#inner.cdecoder);
    const features = this.#module._decoder_init_feat_s3file(this.#inner.cdecoder, 0);
    if (
      frontEnd === 0 ||
      features === 0 ||
      this.#module._acmod_reinit_feat(this.#inner.cacmod, frontEnd, features) < 0
    )
      throw new Error('the recogniser could not adapt to the microphone');
  }

  start(): void {
    this.#inner.start();
  }

  /** Samples at SAMPLE_RATE. `whole` when this is all of the utterance: levels are then taken over all. */
  feed(samples: Float32Array, whole = false): void {
    this.#inner.process_audio(dithered(samples), false, whole);
  }

  /** The best reading so far. */
  text(): string {
    return this.#inner.get_text();
  }

  /** Ends the utterance and gives its reading. */
  finish(): Decoded {
    this.#inner.stop();
    const result = this.#inner.get_alignment();
    const words = (result.w ?? [])
      .filter((segment) => isWord(segment.t))
      .map((segment) => ({
        word: plain(segment.t),
        start: segment.b,
        seconds: segment.d,
        score: segment.p,
      }));
    return { text: words.map((word) => word.word).join(' '), words };
  }
}

/** Has the settings of `analysis` follow those that the package reads from the model's folder. */
function analyseAs(inner: Inner, model: string): void {
  const read = inner.init_featparams.bind(inner);
  inner.init_featparams = async () => {
    await read();
    for (const [name, value] of Object.entries(analysis[model] ?? {})) inner.set_config(name, value);
  };
}

/**
 * Digital silence has no spectrum: its logarithm would spoil the averages. Noise of about -77 dBFS instead, the
 * same each time so that what is heard can be repeated.
 */
function dithered(samples: Float32Array): Float32Array {
  let state = 1;
  return samples.map((sample) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0; // Numerical Recipes' generator
    return sample + (state / 2 ** 32 - 0.5) * 5e-4;
  });
}

function isWord(token: string): boolean {
  return !/^(<.*>|\[.*\]|\+.*\+|\(NULL\)|)$/.test(token);
}

/** Strips the mark of an alternative pronunciation: "the(2)". */
function plain(token: string): string {
  return token.replace(/\(\d+\)$/, '');
}
