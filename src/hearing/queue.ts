/** Turns pushed values into an async iteration: values pushed before anyone asks are kept in order. */
export class Queue<T> implements AsyncIterable<T> {
  readonly #values: T[] = [];
  #wake: (() => void) | undefined;
  #closed = false;

  push(value: T): void {
    if (this.#closed) return;
    this.#values.push(value);
    this.#wake?.();
  }

  /** What was pushed is still delivered, then the iteration ends. */
  close(): void {
    this.#closed = true;
    this.#wake?.();
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<T, void, undefined> {
    for (;;) {
      const value = this.#values.shift();
      if (value !== undefined) {
        yield value;
      } else if (this.#closed) {
        return;
      } else {
        await new Promise<void>((resolve) => {
          this.#wake = resolve;
        });
      }
    }
  }
}
