import type { Database } from '../database';
import { inTime } from '../inTime';
import { type Change, copied, doAgain } from './changes';

/** For a change, and for each row of it, ms: a whole backup may be restored in one, on a slow disk. */
const patience = { once: 5_000, each: 10 };

/**
 * The second copy of what is stored, which follows each change of the first. It holds nobody up: where it cannot follow,
 * that is told once, and it rests until the page is loaded again.
 */
export class SecondCopy {
  #turn: Promise<unknown> = Promise.resolve();
  #rests = false;

  constructor(
    private readonly database: Database,
    private readonly onBehind: (cause: unknown) => void,
  ) {}

  /** Does what was done to the first. @returns whether it could; never rejects */
  follow(changes: readonly Change[]): Promise<boolean> {
    const mine = changes.filter(({ store }) => copied.includes(store));
    const stores = [...new Set(mine.map(({ store }) => store))];
    return this.inTurn(async () => {
      if (mine.length === 0) return;
      const written = this.database.write(stores, (tx) => doAgain(tx, mine));
      await inTime(written, patience.once + mine.length * patience.each, 'the disk of the second copy');
    });
  }

  /** While nothing else is written to it. @returns whether that could be done; never rejects */
  inTurn(work: () => Promise<void>): Promise<boolean> {
    const mine = this.#turn.then(async () => {
      if (this.#rests) return false;
      return work().then(
        () => true,
        (cause: unknown) => {
          this.#rests = true;
          this.onBehind(cause);
          return false;
        },
      );
    });
    this.#turn = mine;
    return mine;
  }

  close(): void {
    this.#rests = true;
    this.database.close();
  }
}
