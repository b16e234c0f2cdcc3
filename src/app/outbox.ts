import { Client } from '../fhir/client';
import { afresh, again, byHand, dueRows, gather, type OutboxView, viewOf } from '../fhir/outbox';
import { Filing, type FilingSettings, type VisitToFile } from '../fhir/send';
import type { PatientAsked } from '../fhir/whose';
import type { VisitRecord } from '../records/derive';
import { StoreError } from '../records/errors';
import type { OutboxRow, VisitStore } from '../records/types';

export interface OutboxOptions {
  store: Pick<VisitStore, 'list' | 'outbox' | 'saveOutbox'>;
  server: FilingSettings & { address: string };
  /** null: its beginning is lost. */
  read: (visit: string) => Promise<{ record: VisitRecord; lesson: VisitToFile['texts'] } | null>;
  onChange: (view: OutboxView) => void;
  /** With a sentence for staff: the outbox itself could not be read or written. */
  onTrouble: (sentence: string) => void;
  fetch?: typeof fetch;
  now?: () => number;
  chance?: () => number;
  /** Calls back after so many ms; returns what takes it back. */
  later?: (ms: number, work: () => void) => () => void;
}

/** Until the outbox is looked at again, ms. */
const afterTrouble = 60_000;

const timer = (ms: number, work: () => void) => {
  const id = setTimeout(work, ms);
  return () => clearTimeout(id);
};

/** Files the visits that are over, one at a time, in the background, until all are filed. */
export class Outbox {
  readonly #filing: Filing;
  readonly #now: () => number;
  readonly #later: NonNullable<OutboxOptions['later']>;
  #turn: Promise<void> = Promise.resolve();
  #cancel = () => {};
  /** Visits that lie sealed, as far as is known. */
  readonly #sealed = new Set<string>();
  /** By visit: what the server said about it last. In memory only, as it may name people. */
  readonly #said = new Map<string, string>();
  /** By visit: whom the server found by its number. In memory only as well. */
  readonly #asked = new Map<string, PatientAsked>();
  /** The server is left alone until then, ms. */
  #quiet = 0;

  constructor(private readonly options: OutboxOptions) {
    this.#now = options.now ?? Date.now;
    this.#later = options.later ?? timer;
    const client = new Client({
      address: options.server.address,
      fetch: options.fetch ?? ((...given) => fetch(...given)),
      now: this.#now,
    });
    this.#filing = new Filing(client, options.server);
  }

  /** There may be something to do. Resolves when it is done, for now; never rejects. */
  wake(): Promise<void> {
    return this.#next(async () => {
      if (this.#now() >= this.#quiet) await this.#round();
      else this.#sleep(this.#quiet);
    }).catch((error: unknown) => {
      this.options.onTrouble(`Visits cannot be filed now. ${(error as Error).message}`);
      this.#sleep(this.#now() + afterTrouble);
    });
  }

  /** Staff have opened the records: what was sealed can be read for a while. */
  opened(): Promise<void> {
    this.#sealed.clear();
    return this.wake();
  }

  /** Somebody of the staff wants it tried now: one visit, or all. `first` is done before. */
  tryAgain(visit?: string, first?: () => Promise<unknown>): Promise<void> {
    return this.#next(async () => {
      this.#sealed.clear();
      await first?.();
      for (const row of await this.#rows()) {
        if (visit === undefined || row.visit === visit) {
          // Whoever said whose it is has not looked into the chart: a doubt stays.
          await this.options.store.saveOutbox(row.asks ? afresh(row) : again(row));
        }
      }
      await this.#round();
    });
  }

  /** Somebody of the staff has put it into the chart by hand. */
  settle(visit: string): Promise<void> {
    return this.#next(async () => {
      const row = (await this.#rows()).find((one) => one.visit === visit);
      this.#said.delete(visit);
      if (row?.state === 'held') await this.options.store.saveOutbox(byHand(row, this.#now()));
      await this.#round();
    });
  }

  /** A visit that asks whose it is has been opened: whom the server found is looked up anew, as it is kept nowhere. */
  askAgain(visit: string): Promise<void> {
    return this.#next(async () => {
      const row = (await this.#rows()).find((one) => one.visit === visit);
      if (row?.state !== 'held' || !row.asks || this.#asked.has(visit)) return;
      await this.options.store.saveOutbox(afresh(row));
      await this.#round();
    });
  }

  /** One after the other: what staff enter must not be overwritten by what a round writes. */
  #next(work: () => Promise<void>): Promise<void> {
    const mine = this.#turn.then(work);
    this.#turn = mine.catch(() => {});
    return mine;
  }

  async #round(): Promise<void> {
    this.#cancel();
    const { store, read, chance = Math.random } = this.options;
    await this.#tell();
    // What a server can do may have changed since.
    if (dueRows(await this.#rows(), this.#now()).length > 0) this.#filing.begin();
    const { next, quiet } = await gather({
      rows: async () => (await this.#rows()).filter(({ visit }) => !this.#sealed.has(visit)),
      save: async (row) => {
        await store.saveOutbox(row);
        await this.#tell();
      },
      file: async ({ visit, doubtful, filedAt, changes }, beforeUnsafe) => {
        const stored = await read(visit).catch((error: unknown) => {
          if (error instanceof StoreError && error.code === 'sealed') return 'sealed' as const;
          throw error;
        });
        if (stored === 'sealed') {
          this.#sealed.add(visit);
          return 'later';
        }
        if (!stored) throw new Error('Its beginning is lost.');
        await this.#filing.file({
          ...{ record: stored.record, texts: stored.lesson, doubtful, beforeUnsafe },
          ...{ filed: filedAt !== null, changed: changes > 0 },
        });
        return 'filed';
      },
      failed: (visit, { about }) => {
        this.#said.set(visit, about.said ?? '');
        if (about.asks) this.#asked.set(visit, about.asks);
        else this.#asked.delete(visit);
      },
      now: this.#now,
      chance,
    });
    this.#quiet = quiet;
    await this.#tell();
    if (next !== null) this.#sleep(next);
  }

  #sleep(until: number): void {
    this.#cancel();
    this.#cancel = this.#later(Math.max(0, until - this.#now()), () => void this.wake());
  }

  /** Of visits that are over. */
  async #rows(): Promise<OutboxRow[]> {
    const { store } = this.options;
    const rows = await store.outbox();
    const over = new Set((await store.list()).flatMap(({ visit, finished }) => (finished ? visit : [])));
    return rows.filter(({ visit }) => over.has(visit));
  }

  async #tell(): Promise<void> {
    const rows = (await this.#rows()).map((row) => {
      const said = row.problem && this.#said.get(row.visit);
      return said ? { ...row, problem: `${row.problem} It says: “${said}”.` } : row;
    });
    this.options.onChange(viewOf(rows, this.#sealed, this.#asked));
  }
}
