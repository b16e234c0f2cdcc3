import type { Database, StoreName, Writing } from '../database';
import { type Change, doAgain } from './changes';
import { copied } from './settle';

/**
 * The second copy of what is stored, which follows each change of the first. It holds nobody up: where it cannot follow,
 * that is told once, and it rests until the page is loaded again.
 */
export class SecondCopy {
  #turn: Promise<unknown> = Promise.resolve();
  #rests = false;

  constructor(
    private readonly database: Database,
    /** It fell behind. What is settled then must be done before anything else is written. */
    private readonly onBehind: (cause: unknown) => Promise<void>,
  ) {}

  /** Does what was done to the first. Never rejects. */
  follow(changes: readonly Change[]): Promise<void> {
    const mine = changes.filter(({ store }) => copied.includes(store));
    if (mine.length === 0) return Promise.resolve();
    const stores = [...new Set(mine.map(({ store }) => store))];
    return this.write(stores, (tx) => doAgain(tx, mine));
  }

  /** Never rejects. */
  write(stores: StoreName[], work: (tx: Writing) => Promise<unknown>): Promise<void> {
    return this.inTurn(async () => void (await this.database.write(stores, work)));
  }

  /** While nothing else is written to it. Never rejects. */
  inTurn(work: () => Promise<void>): Promise<void> {
    const mine = this.#turn.then(async () => {
      if (this.#rests) return;
      await work().catch((cause: unknown) => {
        this.#rests = true;
        return this.onBehind(cause);
      });
    });
    this.#turn = mine;
    return mine;
  }

  close(): void {
    this.#rests = true;
    this.database.close();
  }
}
