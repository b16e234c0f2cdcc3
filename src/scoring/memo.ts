const all = new Set<WeakRef<Memo<unknown>>>();

/** What was found for words before, so that it is not looked for again. At most so many, then anew. */
export class Memo<V> {
  readonly #known = new Map<string, V>();

  constructor(private readonly most: number) {
    all.add(new WeakRef<Memo<unknown>>(this as Memo<unknown>));
  }

  of(words: string, find: () => V): V {
    const known = this.#known.get(words);
    if (known !== undefined) return known;
    const found = find();
    if (this.#known.size >= this.most) this.forget();
    this.#known.set(words, found);
    return found;
  }

  forget(): void {
    this.#known.clear();
  }
}

/** Throws away all words that were looked up: they are those of the person who has left. */
export function forgetWords(): void {
  for (const ref of all) {
    const memo = ref.deref();
    if (memo) memo.forget();
    else all.delete(ref);
  }
}
