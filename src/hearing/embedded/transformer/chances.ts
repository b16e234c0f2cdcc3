/** Words and how likely each is, in order, so that all that begin alike are found at once. */
export class Chances {
  readonly #words: readonly string[];
  /** Sum of the weights of all words before each. */
  readonly #below: Float64Array;
  /** Sum of all weights. */
  readonly seen: number;

  /** Words with their weights on any one scale; of a word that comes twice they are added. */
  constructor(weights: Iterable<readonly [word: string, weight: number]>) {
    const sums = new Map<string, number>();
    for (const [word, weight] of weights) sums.set(word, (sums.get(word) ?? 0) + weight);
    this.#words = [...sums.keys()].sort(order);
    this.#below = new Float64Array(this.#words.length + 1);
    this.#words.forEach((word, i) => {
      this.#below[i + 1] = this.#below[i]! + sums.get(word)!;
    });
    this.seen = this.#below.at(-1)!;
  }

  /** Probability of a word that begins with these letters. */
  begins(letters: string): number {
    return this.#between(letters, `${letters}\uffff`);
  }

  is(word: string): number {
    return this.#between(word, `${word}\u0000`);
  }

  #between(from: string, to: string): number {
    return this.seen === 0
      ? 0
      : (this.#below[this.#place(to)]! - this.#below[this.#place(from)]!) / this.seen;
  }

  /** How many words come before this one. */
  #place(word: string): number {
    let low = 0;
    let high = this.#words.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#words[middle]! < word) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

const order = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);
