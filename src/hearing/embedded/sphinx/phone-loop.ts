import { type DecodedWord, type Decoder, logScore } from './decoder';

/** Mean log score of a frame between two times, seconds. Undefined where nothing was heard. */
export type FreeFit = (from: number, to: number) => number | undefined;

/**
 * Hears any sounds of the language in any order: how well a voice in a room can be fitted at all. How far words
 * stay behind that tells words that were said from words that were forced on other speech. (Rose & Paul, "A hidden
 * Markov model based keyword recognition system", ICASSP 1990.)
 */
export class PhoneLoop {
  readonly #decoder: Decoder;

  private constructor(decoder: Decoder) {
    this.#decoder = decoder;
  }

  /** `phones`: those of the decoder's model. */
  static async beside(decoder: Decoder, phones: readonly string[]): Promise<PhoneLoop> {
    const loop = await decoder.beside();
    const words = phones.map((phone) => `phone_${phone.toLowerCase()}`);
    loop.addWords(words.map((word, i) => [word, phones[i]!]));
    const share = (1 / words.length).toExponential(4);
    loop.setGrammar({
      words,
      fsg: [
        'FSG_BEGIN <phones>',
        'NUM_STATES 2',
        'START_STATE 0',
        'FINAL_STATE 1',
        'TRANSITION 0 1 1.0',
        ...words.map((word) => `TRANSITION 0 0 ${share} ${word}`),
        'FSG_END',
        '',
      ].join('\n'),
    });
    return new PhoneLoop(loop);
  }

  adaptTo(samples: Float32Array): void {
    this.#decoder.adaptTo(samples);
  }

  start(): void {
    this.#decoder.start();
  }

  feed(samples: Float32Array): void {
    this.#decoder.feed(samples);
  }

  finish(): FreeFit {
    return freeFit(this.#decoder.finish().words);
  }
}

/** The fit of heard phones over time. */
export function freeFit(heard: readonly DecodedWord[]): FreeFit {
  return (from, to) => {
    let sum = 0;
    let covered = 0;
    for (const { start, seconds, score } of heard) {
      const shared = Math.min(to, start + seconds) - Math.max(from, start);
      if (shared <= 0) continue;
      sum += (logScore(score) * shared) / seconds;
      covered += shared;
    }
    return covered > 0.01 ? sum / covered : undefined;
  };
}
