import type { KioskState, Page } from './state';

/** What the screens are drawn from: whoever changes it sets it here, and what goes amiss is told to staff on it. */
export class Board {
  #state: KioskState = {
    page: { at: 'opening' },
    idle: null,
    site: null,
    outbox: null,
    notices: [],
  };
  readonly #listeners = new Set<() => void>();

  readonly subscribe = (listener: () => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly state = () => this.#state;

  readonly set = (change: Partial<KioskState>): void => {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  };

  readonly turn = (page: Page): void => this.set({ page });

  /** A sentence for staff, once. */
  readonly notice = (text: string): void => {
    if (!this.#state.notices.includes(text)) this.set({ notices: [...this.#state.notices, text] });
  };

  /** Never rejects. */
  readonly attempt = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work();
    } catch (error) {
      this.notice((error as Error).message);
    }
  };

  /** Never rejects. */
  readonly quietly = async <T>(work: Promise<T>, otherwise: T): Promise<T> =>
    work.catch((error: unknown) => {
      this.notice((error as Error).message);
      return otherwise;
    });
}
