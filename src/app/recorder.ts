import { type RecordRequest, record } from '../hearing/audio/record';
import { makeTake, type Take } from '../hearing/audio/take';

/** The microphone as staff use it to record sentences: one recording at a time, and none while a visit may listen. */
export class Recorder {
  readonly #mayRecord: () => boolean;
  readonly #record: typeof record;
  #running: { abort: AbortController; over: Promise<unknown> } | null = null;

  /** @param mayRecord false while a visit runs */
  constructor(mayRecord: () => boolean, recordWith: typeof record = record) {
    this.#mayRecord = mayRecord;
    this.#record = recordWith;
  }

  /** Rejects with a sentence for staff. */
  async start(request: RecordRequest): Promise<Take> {
    if (this.#running) throw new Error('A recording runs already.');
    if (!this.#mayRecord()) throw new Error('A visit has the microphone. Record when it is over.');
    const abort = new AbortController();
    const sound = this.#record(request, abort.signal);
    const over = sound.catch(() => {});
    this.#running = { abort, over };
    try {
      return makeTake(await sound);
    } finally {
      this.#running = null;
    }
  }

  /** Throws a running recording away. Resolves when the microphone is closed. */
  async stop(): Promise<void> {
    this.#running?.abort.abort();
    await this.#running?.over;
  }
}
