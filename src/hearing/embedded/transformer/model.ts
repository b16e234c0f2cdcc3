import { env, InferenceSession, Tensor } from 'onnxruntime-web/wasm';

/** Shape of the model "tiny": decoder layers, heads and numbers a head. */
const LAYERS = 6;
const HEADS = 8;
const WIDTH = 36;
/** Its files, in the order of `ModelFiles`. */
export const modelFiles = ['encoder_model.onnx', 'decoder_model_merged.onnx'] as const;
/** Tokens that start and end a text. */
export const START = 1;
export const END = 2;

export interface ModelFiles {
  encoder: Uint8Array;
  decoder: Uint8Array;
  /** The runtime's own WebAssembly, when it does not lie beside its script. */
  runtime?: Uint8Array;
}

/** What beams need of a model that listens to one sound. */
export interface Listening {
  /**
   * Extends texts by a token each: text i is text `parents[i]` of the call before and then `tokens[i]`. Gives the
   * logits of what follows, a row a text. The first call is ([0], [START]).
   */
  extend(parents: readonly number[], tokens: readonly number[]): Promise<Float32Array[]>;
}

/**
 * Moonshine "tiny" for English (Jeffries et al., "Moonshine: Speech Recognition for Live Transcription and Voice
 * Commands", 2024; MIT), 27 million parameters of 8 bits: an encoder of sound and a decoder of text.
 */
export class SpeechModel {
  readonly #encoder: InferenceSession;
  readonly #decoder: InferenceSession;

  private constructor(encoder: InferenceSession, decoder: InferenceSession) {
    this.#encoder = encoder;
    this.#decoder = decoder;
  }

  /** Rejects when a file is missing or broken. */
  static async open({ encoder, decoder, runtime }: ModelFiles): Promise<SpeechModel> {
    // More threads need a page that is cut off from its window, and a kiosk has the other core for its screen.
    env.wasm.numThreads = 1;
    if (runtime) env.wasm.wasmBinary = runtime;
    // The arena takes memory in large steps and never gives it back.
    const options = { enableCpuMemArena: false, enableMemPattern: false } as const;
    return new SpeechModel(
      await InferenceSession.create(encoder, options),
      await InferenceSession.create(decoder, options),
    );
  }

  /** Takes in a sound of at most half a minute at SAMPLE_RATE. */
  async listen(sound: Float32Array): Promise<Listening> {
    const { last_hidden_state: hidden } = await this.#encoder.run({
      input_values: new Tensor('float32', sound, [1, sound.length]),
    });
    return new Heard(this.#decoder, hidden as Tensor);
  }
}

class Heard implements Listening {
  readonly #decoder: InferenceSession;
  readonly #hidden: Tensor;
  #own: Tensor[] = [];
  /** Keys and values of the sound: the same for every text. */
  #sound: Tensor[] = [];
  #wide = new Map<number, { hidden: Tensor; sound: Tensor[] }>();

  constructor(decoder: InferenceSession, hidden: Tensor) {
    this.#decoder = decoder;
    this.#hidden = hidden;
  }

  async extend(parents: readonly number[], tokens: readonly number[]): Promise<Float32Array[]> {
    const first = this.#own.length === 0;
    const { hidden, sound } = this.#widened(tokens.length);
    const own = first ? [] : this.#own.map((tensor) => picked(tensor, parents));
    const feeds: Record<string, Tensor> = {
      input_ids: new Tensor('int64', BigInt64Array.from(tokens, BigInt), [tokens.length, 1]),
      encoder_hidden_states: hidden,
      use_cache_branch: new Tensor('bool', [!first]),
    };
    const none = new Tensor('float32', new Float32Array(0), [0, HEADS, 1, WIDTH]);
    ownNames.forEach((name, i) => {
      feeds[`past_key_values.${name}`] = own[i] ?? none;
    });
    soundNames.forEach((name, i) => {
      feeds[`past_key_values.${name}`] = sound[i] ?? none;
    });
    const out = await this.#decoder.run(feeds);
    this.#own = ownNames.map((name) => out[`present.${name}`] as Tensor);
    if (first) {
      this.#sound = soundNames.map((name) => out[`present.${name}`] as Tensor);
      this.#wide.clear();
    }
    const logits = out.logits as Tensor;
    const size = logits.dims.at(-1)!;
    const data = logits.data as Float32Array;
    return tokens.map((_, i) => data.subarray(i * size, (i + 1) * size));
  }

  #widened(count: number): { hidden: Tensor; sound: Tensor[] } {
    let wide = this.#wide.get(count);
    if (!wide) {
      const same = new Array<number>(count).fill(0);
      wide = { hidden: picked(this.#hidden, same), sound: this.#sound.map((tensor) => picked(tensor, same)) };
      this.#wide.set(count, wide);
    }
    return wide;
  }
}

const named = (of: string) =>
  Array.from({ length: LAYERS }, (_, layer) =>
    ['key', 'value'].map((part) => `${layer}.${of}.${part}`),
  ).flat();
const ownNames = named('decoder');
const soundNames = named('encoder');

/** The rows of a tensor by their indices. */
function picked(tensor: Tensor, rows: readonly number[]): Tensor {
  const data = tensor.data as Float32Array;
  const [count = 1, ...rest] = tensor.dims;
  if (count === rows.length && rows.every((row, i) => row === i)) return tensor;
  const size = data.length / count;
  const out = new Float32Array(size * rows.length);
  rows.forEach((row, i) => {
    out.set(data.subarray(row * size, (row + 1) * size), i * size);
  });
  return new Tensor('float32', out, [rows.length, ...rest]);
}
