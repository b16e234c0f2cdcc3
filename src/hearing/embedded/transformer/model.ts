import { env, InferenceSession, Tensor } from 'onnxruntime-web/wasm';
import { LIKELIEST, likeliest } from './files';

/** Shape of the model "tiny": decoder layers, heads and numbers a head. */
const LAYERS = 6;
const HEADS = 8;
const WIDTH = 36;
/** Tokens that start and end a text. */
export const START = 1;
export const END = 2;

export interface ModelFiles {
  encoder: Uint8Array;
  /** As `withLikeliest` gives it. */
  decoder: Uint8Array;
  /** The runtime's own WebAssembly, when it does not lie beside its script. */
  runtime?: Uint8Array;
}

/** A token that may follow, and the natural logarithm of its probability. */
export interface Following {
  token: number;
  log: number;
}

/** What beams need of a model that listens to one sound. */
export interface Listening {
  /**
   * Extends texts by a token each: text i is text `parents[i]` of the call before and then `tokens[i]`. Gives what may
   * follow each text, likeliest first. The first call is ([0], [START]).
   */
  extend(parents: readonly number[], tokens: readonly number[]): Promise<Following[][]>;
}

/**
 * Moonshine "tiny" for English (Jeffries et al., "Moonshine: Speech Recognition for Live Transcription and Voice
 * Commands", 2024; MIT), 27 million parameters of 8 bits: an encoder of sound and a decoder of text.
 */
export class SpeechModel {
  readonly #encoder: InferenceSession;
  readonly #decoder: InferenceSession;
  /** One sound is listened to at a time. */
  readonly #rooms = ownNames.map(() => new Room());

  private constructor(encoder: InferenceSession, decoder: InferenceSession) {
    this.#encoder = encoder;
    this.#decoder = decoder;
  }

  /** Rejects when a file is missing or broken. */
  static async open({ encoder, decoder, runtime }: ModelFiles): Promise<SpeechModel> {
    // More threads need a page that is cut off from its window, and a kiosk has the other core for its screen.
    env.wasm.numThreads = 1;
    if (runtime) env.wasm.wasmBinary = runtime;
    // The arena takes memory in large steps and never gives it back. To put the graphs in another order takes most of
    // the time until they are open, and they are read no faster for it (measured).
    const options = {
      enableCpuMemArena: false,
      enableMemPattern: false,
      graphOptimizationLevel: 'disabled',
    } as const;
    return new SpeechModel(
      await InferenceSession.create(encoder, options),
      await InferenceSession.create(decoder, options),
    );
  }

  /** Takes in a sound of at most half a minute at SAMPLE_RATE. */
  async listen(sound: Float32Array): Promise<Listening & { end(): void }> {
    const { last_hidden_state: hidden } = await this.#encoder.run({
      input_values: new Tensor('float32', sound, [1, sound.length]),
    });
    return new Heard(this.#decoder, hidden as Tensor, this.#rooms);
  }
}

class Heard implements Listening {
  readonly #decoder: InferenceSession;
  readonly #hidden: Tensor;
  readonly #rooms: readonly Room[];
  #own: Tensor[] = [];
  /** Keys and values of the sound, a single row that serves every text. */
  #sound: Tensor[] = [];

  constructor(decoder: InferenceSession, hidden: Tensor, rooms: readonly Room[]) {
    this.#decoder = decoder;
    this.#hidden = hidden;
    this.#rooms = rooms;
  }

  async extend(parents: readonly number[], tokens: readonly number[]): Promise<Following[][]> {
    const first = this.#own.length === 0;
    const own = this.#own.map((tensor, i) => this.#rooms[i]!.pick(tensor, parents));
    const feeds: Record<string, Tensor> = {
      input_ids: new Tensor('int64', BigInt64Array.from(tokens, BigInt), [tokens.length, 1]),
      encoder_hidden_states: this.#hidden,
      use_cache_branch: new Tensor('bool', [!first], [1]),
    };
    const none = new Tensor('float32', new Float32Array(0), [tokens.length, HEADS, 0, WIDTH]);
    ownNames.forEach((name, i) => {
      feeds[`past_key_values.${name}`] = own[i] ?? none;
    });
    soundNames.forEach((name, i) => {
      feeds[`past_key_values.${name}`] = this.#sound[i] ?? none;
    });
    // What is not asked for is not copied.
    const out = await this.#decoder.run(feeds, first ? firstOut : laterOut);
    for (const tensor of this.#own) free(tensor);
    this.#own = ownNames.map((name) => out[`present.${name}`] as Tensor);
    if (first) this.#sound = soundNames.map((name) => out[`present.${name}`] as Tensor);
    const ids = out[likeliest.tokens]!.data as BigInt64Array;
    const logs = out[likeliest.logs]!.data as Float32Array;
    return tokens.map((_, i) =>
      Array.from({ length: LIKELIEST }, (_, rank) => ({
        token: Number(ids[i * LIKELIEST + rank]),
        log: logs[i * LIKELIEST + rank]!,
      })),
    );
  }

  /** Gives back what the sound took; nothing can be extended any more. */
  end(): void {
    for (const tensor of [...this.#own, ...this.#sound, this.#hidden]) free(tensor);
  }
}

const named = (of: string) =>
  Array.from({ length: LAYERS }, (_, layer) =>
    ['key', 'value'].map((part) => `${layer}.${of}.${part}`),
  ).flat();
const ownNames = named('decoder');
const soundNames = named('encoder');
const laterOut = [likeliest.logs, likeliest.tokens, ...ownNames.map((name) => `present.${name}`)];
const firstOut = [...laterOut, ...soundNames.map((name) => `present.${name}`)];

/** Gives the memory back now: collected later, what one answer leaves behind would be a hundred megabytes. */
function free(tensor: Tensor): void {
  // Node 20 has no such method, and more memory than a kiosk.
  const { buffer } = tensor.data as Float32Array & { buffer: { transfer?: (length: number) => void } };
  buffer.transfer?.(0);
}

/** Room for the rows of one tensor after another, made once: the runtime takes a copy of what it is fed. */
class Room {
  #array = new Float32Array(0);

  /** The rows of a tensor by their indices. Good until the next call. */
  pick(tensor: Tensor, rows: readonly number[]): Tensor {
    const data = tensor.data as Float32Array;
    const [count = 1, ...rest] = tensor.dims;
    if (count === rows.length && rows.every((row, i) => row === i)) return tensor;
    const size = data.length / count;
    if (this.#array.length < size * rows.length)
      this.#array = new Float32Array(Math.ceil(1.5 * size * rows.length));
    rows.forEach((row, i) => {
      this.#array.set(data.subarray(row * size, (row + 1) * size), i * size);
    });
    return new Tensor('float32', this.#array.subarray(0, size * rows.length), [rows.length, ...rest]);
  }
}
