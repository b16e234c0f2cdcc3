import { afterWeighing, type Clock, mended, newestOf, overdue, weighClock } from '../records/retention';
import type { Access } from '../records/seal/access';
import type { VisitStore } from '../records/types';

/** For staff, about visits that are erased when their time is over. */
export interface RetentionView {
  keepDays: number;
  /** Visits whose time is over and that stay: they wait to be filed; they ended while the clock was wrong. */
  waiting: number;
  misdated: number;
  clock: Clock;
}

export interface RetentionOptions {
  store: Pick<VisitStore, 'list' | 'outbox' | 'erase'>;
  access: Pick<Access, 'ledger' | 'noteNameless' | 'note' | 'session'>;
  keepDays: number;
  /** Does this site file visits? If not, one with a record number waits for nothing. */
  files: boolean;
  /** Nobody is being taught and no page of staff is open. */
  idle: () => boolean;
  onChange: (view: RetentionView) => void;
  onTrouble: (sentence: string) => void;
  /** The device's clock, and one that nobody sets, ms. */
  now?: () => number;
  ran?: () => number;
  later?: (ms: number, work: () => void) => void;
}

/** ms. Looked at so soon after the start, every so often, and again so soon when somebody was there. */
const waits = { first: 15_000, next: 3_600_000, busy: 300_000 };

/** Erases visits whose time is over, while nobody is there. */
export class Retention {
  readonly #now: () => number;
  readonly #ran: () => number;
  readonly #began: { now: number; ran: number };
  #turn: Promise<void> = Promise.resolve();

  constructor(private readonly options: RetentionOptions) {
    this.#now = options.now ?? Date.now;
    this.#ran = options.ran ?? (() => performance.now());
    this.#began = { now: this.#now(), ran: this.#ran() };
  }

  begin(): void {
    const { keepDays, onChange } = this.options;
    // Until it has been looked at for the first time.
    onChange({ keepDays, waiting: 0, misdated: 0, clock: 'right' });
    this.#sleep(waits.first);
  }

  /** Looks now; erases only while nobody is there. Never rejects. */
  look(): Promise<void> {
    this.#turn = this.#turn.then(() =>
      this.#look().catch((error: unknown) =>
        this.options.onTrouble(`Visits whose time is over could not be erased. ${(error as Error).message}`),
      ),
    );
    return this.#turn;
  }

  /** Somebody of the staff says that the clock is right. */
  async confirmClock(): Promise<void> {
    const { access } = this.options;
    const { memory } = await access.ledger.clock();
    if (access.session) await access.note('clock-confirmed');
    await access.ledger.rememberClock(mended(memory, this.#now(), (await this.#weigh()).newest));
    await this.look();
  }

  async #look(): Promise<void> {
    const { store, access, keepDays, files, idle, onChange } = this.options;
    const { clock, memory, headers, now } = await this.#weigh();
    const outbox = files ? await store.outbox() : [];
    const { erase, waiting, misdated } = overdue(headers, outbox, now, keepDays, memory);
    await access.ledger.rememberClock(afterWeighing(memory, clock, now));
    onChange({ keepDays, waiting: waiting.length, misdated: misdated.length, clock });
    if (clock !== 'right') return;
    for (const visit of erase) {
      if (!idle()) return;
      // The entry first: nothing is erased that the trail does not hold.
      await access.noteNameless('expired', visit, `after ${keepDays} days`);
      await store.erase(visit);
    }
  }

  async #weigh() {
    const { store, access } = this.options;
    const [headers, { memory, last }] = [await store.list(), await access.ledger.clock()];
    const times = [...headers.map(({ lastAt }) => lastAt), ...(last ? [last] : [])];
    const newest = newestOf(times, memory);
    const now = this.#now();
    const [ran, went] = [this.#ran() - this.#began.ran, now - this.#began.now];
    return { clock: weighClock({ now, newest, ran, went }), newest, memory, headers, now };
  }

  #sleep(ms: number): void {
    const later = this.options.later ?? ((wait: number, work: () => void) => void setTimeout(work, wait));
    later(ms, () => {
      if (!this.options.idle()) this.#sleep(waits.busy);
      else void this.look().then(() => this.#sleep(waits.next));
    });
  }
}
