import { within } from '../pause';
import type { Ask, Reply } from './messages';
import type { Sound } from './synthesizer';

/** What we need of a Worker; tests give a fake. */
export type WorkerLike = Pick<
  Worker,
  'postMessage' | 'terminate' | 'onmessage' | 'onerror' | 'onmessageerror'
>;

/** Milliseconds. */
const loadWait = 20_000;
const answerWait = 8000;

type Without<T> = T extends unknown ? Omit<T, 'id'> : never;

/**
 * Talks with the worker that makes the sound: one question at a time, in order. A worker that fails or hangs is ended;
 * the next question starts a new one.
 */
export class Bridge {
  #makeWorker: () => WorkerLike;
  #url: string;
  #worker: WorkerLike | undefined;
  #loading: Promise<void> | undefined;
  #last: Promise<unknown> = Promise.resolve();
  #settle = new Map<number, { done: (reply: Reply) => void; failed: (error: Error) => void }>();
  #next = 0;

  /** @param url where the voice data is served */
  constructor(makeWorker: () => WorkerLike, url: string) {
    this.#makeWorker = makeWorker;
    this.#url = url;
  }

  /** Resolves when the voice could speak. Rejects when worker or data cannot be had. */
  load(): Promise<void> {
    if (!this.#loading) {
      const started = this.#start();
      this.#loading = started;
      started.catch(() => {
        if (this.#loading === started) this.#loading = undefined;
      });
    }
    return this.#loading;
  }

  /** Rejects when the worker fails or hangs; with the signal's reason when `signal` aborts. */
  async synthesize(text: string, language: string, rate: number, signal: AbortSignal): Promise<Sound> {
    const turn = this.#last.then(async () => {
      signal.throwIfAborted();
      await this.load();
      return this.#ask({ do: 'synthesize', text, language, rate }, answerWait, signal);
    });
    this.#last = turn.catch(() => {});
    const { samples, sampleRate } = await turn;
    if (!samples || !sampleRate) throw new Error('the voice worker sent no sound');
    return { samples, sampleRate };
  }

  async #start() {
    try {
      const worker = this.#makeWorker();
      this.#worker = worker;
      worker.onmessage = ({ data }: MessageEvent<Reply>) => this.#settle.get(data.id)?.done(data);
      worker.onerror = (event) => this.#end(new Error(event.message || 'the voice worker did not load'));
      worker.onmessageerror = () => this.#end(new Error('the voice worker sent something unreadable'));
      await this.#ask({ do: 'load', url: this.#url }, loadWait, new AbortController().signal);
    } catch (error) {
      this.#end(error as Error);
      throw error;
    }
  }

  async #ask(question: Without<Ask>, wait: number, signal: AbortSignal) {
    const id = this.#next++;
    const reply = new Promise<Reply>((done, failed) => this.#settle.set(id, { done, failed }));
    // An answer that comes after an abort is nobody's.
    reply.catch(() => {});
    try {
      this.#worker!.postMessage({ id, ...question } satisfies Ask);
      const answer = await within(reply, wait, signal);
      if (answer === 'aborted') throw signal.reason;
      if (answer === 'late') {
        const error = new Error(`the voice worker gave no answer in ${wait / 1000} s`);
        this.#end(error);
        throw error;
      }
      if (!answer.ok) throw new Error(answer.error);
      return answer;
    } finally {
      this.#settle.delete(id);
    }
  }

  #end(error: Error) {
    this.#worker?.terminate();
    this.#worker = undefined;
    this.#loading = undefined;
    for (const { failed } of this.#settle.values()) failed(error);
    this.#settle.clear();
  }
}
