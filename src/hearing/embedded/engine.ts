import {
  type Microphone,
  MicrophoneError,
  type MicrophoneListener,
  type MicrophoneOptions,
  microphoneListed,
  openMicrophone,
} from '../audio/microphone';
import { Queue } from '../queue';
import type { Availability, EndReason, HearEvent, Hearing, HearRequest } from '../types';
import { modelFor } from './models';
import type { FromWorker, ToWorker } from './protocol';

/** The part of a Worker that is used, so that a test can stand in for it. */
export interface WorkerLike {
  postMessage(message: ToWorker, transfer?: Transferable[]): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<FromWorker>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

export interface EmbeddedOptions extends MicrophoneOptions {
  /** Address of the folder of models, ending in "/". Default: "model/" under the site's base. */
  modelBase?: string;
  /** Phrases of the whole module, which count less than those of the step. */
  modulePhrases?: (module: string, language: string) => readonly string[];
  createWorker?: () => WorkerLike;
  openMicrophone?: typeof openMicrophone;
  microphoneListed?: typeof microphoneListed;
  /** How long the model may take to load, in ms. */
  loadWithin?: number;
  /** How long the worker may leave sound unanswered, in ms. */
  answerWithin?: number;
  /** How long the open microphone may give nothing, in ms. */
  soundWithin?: number;
}

interface Loaded {
  worker: WorkerLike;
  language: string;
  ready: Promise<Availability>;
}

/** The recogniser that comes with the kiosk: everything stays on the device and nothing is installed. */
export class EmbeddedHearing implements Hearing {
  readonly id = 'embedded';
  readonly #options: EmbeddedOptions;
  #loaded: Loaded | undefined;
  #receive: ((message: FromWorker) => void) | undefined;
  #fail: ((detail: string) => void) | undefined;
  #turns = 0;
  #stopCurrent: (() => void) | undefined;

  constructor(options: EmbeddedOptions = {}) {
    this.#options = options;
  }

  async available(language: string): Promise<Availability> {
    if (!modelFor(language)) return noModel(language);
    if (!this.#options.createWorker && (typeof Worker === 'undefined' || typeof WebAssembly === 'undefined'))
      return {
        ok: false,
        reason: 'engine-failed',
        detail: 'This browser runs no workers or no WebAssembly.',
      };
    return { ok: true };
  }

  async prepare(language: string, signal: AbortSignal): Promise<Availability> {
    const there = await this.available(language);
    if (!there.ok) return there;
    if (signal.aborted) return aborted;
    return Promise.race([this.#load(language), whenAborted(signal)]);
  }

  async *listen(request: HearRequest, signal: AbortSignal): AsyncGenerator<HearEvent, void, undefined> {
    this.#stopCurrent?.(); // one microphone, one turn: the newer one wins
    const events = new Queue<HearEvent>();
    const turn = ++this.#turns;
    let microphone: Microphone | undefined;
    let ended = false;
    let finishing = false;
    const stopOpening = new AbortController();
    const watch = new Watches();

    const end = (reason: EndReason, detail?: string) => {
      if (ended) return;
      ended = true;
      close();
      events.push({ type: 'end', reason, ...(detail === undefined ? {} : { detail }) });
      events.close();
    };
    const close = () => {
      stopOpening.abort();
      microphone?.close();
      watch.clear();
      signal.removeEventListener('abort', onAbort);
      request.done.removeEventListener('abort', onDone);
      if (this.#stopCurrent === onAbort) {
        this.#stopCurrent = undefined;
        this.#receive = undefined;
        this.#fail = undefined;
      }
      this.#loaded?.worker.postMessage({ type: 'cancel', turn });
    };
    const crash = (detail: string) => {
      this.#unload();
      end('engine-failed', detail);
    };
    const onAbort = () => end('aborted');
    const onDone = () => {
      if (finishing || ended) return;
      finishing = true;
      microphone?.close();
      watch.clear('sound');
      if (!microphone) {
        end('nothing-heard', 'The turn was over before the microphone was open.');
        return;
      }
      watch.start('answer', this.#options.answerWithin ?? 15_000, hangs);
      this.#loaded?.worker.postMessage({ type: 'finish', turn });
    };
    const hangs = () => crash('The recogniser stopped answering.');
    const silent = () => end('no-device', 'The microphone is open but gives no sound.');

    this.#stopCurrent = onAbort;
    signal.addEventListener('abort', onAbort);
    request.done.addEventListener('abort', onDone);

    const start = async () => {
      if (signal.aborted) return end('aborted');
      if (request.done.aborted) return onDone();
      const open = (listener: MicrophoneListener) =>
        (this.#options.openMicrophone ?? openMicrophone)(listener, this.#options, stopOpening.signal);
      const unopened = (error: unknown) =>
        error instanceof MicrophoneError
          ? end(error.reason, error.message)
          : end('engine-failed', `The microphone cannot be opened: ${String(error)}`);
      // Without one a model would be loaded for nothing; the browser says best why it does not open.
      if (!this.#loaded && !(await (this.#options.microphoneListed ?? microphoneListed)())) {
        try {
          (await open({ audio: () => {}, lost: () => {} })).close();
        } catch (error) {
          return unopened(error);
        }
        if (ended) return;
      }
      const there = await this.prepare(request.language, signal);
      if (ended) return;
      if (!there.ok) return end(there.reason, there.detail);

      let waiting = 0;
      this.#fail = crash;
      this.#receive = (message) => {
        if (ended || !('turn' in message) || message.turn !== turn) return;
        switch (message.type) {
          case 'listening':
            return;
          case 'took':
            waiting--;
            if (waiting > 0 || finishing) watch.start('answer', this.#options.answerWithin ?? 15_000, hangs);
            else watch.clear('answer');
            return;
          case 'level':
            events.push({ type: 'level', dbfs: message.dbfs, peak: message.peak });
            return;
          case 'speech-start':
          case 'speech-end':
            events.push({ type: message.type });
            return;
          case 'interim':
            if (!finishing) events.push({ type: 'interim', heard: message.heard });
            return;
          case 'finished':
            if (message.heard) events.push({ type: 'final', heard: message.heard });
            end(message.heard ? 'finished' : 'nothing-heard');
        }
      };

      // The worker is told the microphone's rate before the first sound, which may come before the
      // promise below resolves: it waits here meanwhile.
      let early: Float32Array[] | undefined = [];
      const send = (samples: Float32Array) => {
        waiting++;
        if (waiting === 1) watch.start('answer', this.#options.answerWithin ?? 15_000, hangs);
        this.#loaded?.worker.postMessage({ type: 'audio', turn, samples }, [samples.buffer as ArrayBuffer]);
      };
      const listener: MicrophoneListener = {
        audio: (samples) => {
          if (ended || finishing) return;
          watch.start('sound', this.#options.soundWithin ?? 5_000, silent);
          if (early) early.push(samples);
          else send(samples);
        },
        lost: (detail) => end('no-device', detail),
      };
      try {
        const opened = await open(listener);
        if (ended) return opened.close();
        microphone = opened;
      } catch (error) {
        return unopened(error);
      }
      watch.start('sound', this.#options.soundWithin ?? 5_000, silent);
      // Whatever is said from here on is kept, also while the language model is still being made.
      events.push({ type: 'ready' });
      this.#loaded?.worker.postMessage({
        type: 'listen',
        turn,
        phrases: {
          likely: request.likely ?? [],
          step: request.phrases,
          module: this.#options.modulePhrases?.(request.module, request.language) ?? [],
        },
        sampleRate: microphone.sampleRate,
      });
      for (const samples of early) send(samples);
      early = undefined;
    };

    start().catch((error: unknown) => crash(`The recogniser failed: ${String(error)}`));
    try {
      yield* events;
    } finally {
      // The reader may leave early; the microphone must not stay open then.
      end('aborted');
    }
  }

  /** Ends the worker and gives its memory back. The next turn loads it again. */
  dispose(): void {
    this.#stopCurrent?.();
    this.#unload();
  }

  #unload(): void {
    this.#loaded?.worker.terminate();
    this.#loaded = undefined;
  }

  #load(language: string): Promise<Availability> {
    const model = modelFor(language);
    if (this.#loaded && modelFor(this.#loaded.language) === model) return this.#loaded.ready;
    this.#unload(); // one model in memory: a kiosk has little of it
    const ready = this.#open(language);
    return ready;
  }

  #open(language: string): Promise<Availability> {
    const failed = (detail: string): Availability => ({ ok: false, reason: 'engine-failed', detail });
    let worker: WorkerLike;
    try {
      worker = (this.#options.createWorker ?? createBrowserWorker)();
    } catch (error) {
      return Promise.resolve(failed(`The recogniser cannot be started: ${String(error)}`));
    }
    const ready = new Promise<Availability>((resolve) => {
      const within = this.#options.loadWithin ?? 60_000;
      let opening = true;
      const timer = setTimeout(() => fail('The recogniser took too long to load.'), within);
      const mine = () => this.#loaded?.worker === worker;
      const fail = (detail: string) => {
        clearTimeout(timer);
        if (mine()) this.#unload();
        else worker.terminate();
        if (opening) resolve(failed(detail));
        else this.#fail?.(detail);
        opening = false;
      };
      worker.onmessage = ({ data }) => {
        if (data.type === 'opened') {
          clearTimeout(timer);
          opening = false;
          resolve({ ok: true });
        } else if (data.type === 'failed') {
          fail(
            opening ? `The recogniser did not load: ${data.detail}` : `The recogniser failed: ${data.detail}`,
          );
        } else if (mine()) {
          this.#receive?.(data);
        }
      };
      worker.onerror = (event) => {
        event.preventDefault?.();
        const detail = event.message || 'its script did not load';
        fail(opening ? `The recogniser did not load: ${detail}` : `The recogniser crashed: ${detail}`);
      };
    });
    this.#loaded = { worker, language, ready };
    worker.postMessage({ type: 'open', language, modelBase: this.#options.modelBase ?? defaultModelBase() });
    return ready;
  }
}

/** Named timers, each started anew by `start`. */
class Watches {
  readonly #timers = new Map<string, ReturnType<typeof setTimeout>>();

  start(name: string, ms: number, act: () => void): void {
    clearTimeout(this.#timers.get(name));
    this.#timers.set(name, setTimeout(act, ms));
  }

  clear(name?: string): void {
    for (const [key, timer] of this.#timers) {
      if (name !== undefined && key !== name) continue;
      clearTimeout(timer);
      this.#timers.delete(key);
    }
  }
}

const aborted: Availability = { ok: false, reason: 'aborted' };

function noModel(language: string): Availability {
  return {
    ok: false,
    reason: 'language-missing',
    detail: `The built-in recogniser has no model for the language "${language}".`,
  };
}

function whenAborted(signal: AbortSignal): Promise<Availability> {
  return new Promise((resolve) => {
    signal.addEventListener('abort', () => resolve(aborted), { once: true });
  });
}

function createBrowserWorker(): WorkerLike {
  return new Worker(new URL('./worker.ts', import.meta.url), { type: 'module', name: 'hearing' });
}

function defaultModelBase(): string {
  return new URL(`${import.meta.env.BASE_URL}model/`, globalThis.location.href).href;
}
