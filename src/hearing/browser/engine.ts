import { Queue } from '../queue';
import type { Availability, EndReason, EngineId, HearEvent, Hearing, HearRequest } from '../types';
import type {
  Recognition,
  RecognitionConstructor,
  RecognitionErrorEvent,
  RecognitionResultEvent,
  RecognitionScope,
} from './api';
import { Transcript } from './transcript';

export interface BrowserOptions {
  /** Stands in for the window in tests. */
  scope?: RecognitionScope;
  /** ms that `available()` of the browser may take. */
  askWithin?: number;
  /** ms from start() until anything at all has to happen. */
  startWithin?: number;
  /** ms from stop() until the last result has to be there. */
  stopWithin?: number;
  /** ms that an installation may take: some never come back. */
  installWithin?: number;
}

const phraseLimit = 500;

/**
 * The browser's own recogniser. `browser-local` never lets sound leave the device: it starts only with
 * `processLocally` and a language pack that is there. The cloud variant is another class with another id.
 */
class WebSpeech implements Hearing {
  readonly id: EngineId;
  readonly #local: boolean;
  readonly #options: BrowserOptions;
  #stopCurrent: (() => void) | undefined;

  protected constructor(local: boolean, options: BrowserOptions) {
    this.id = local ? 'browser-local' : 'browser-cloud';
    this.#local = local;
    this.#options = options;
  }

  async available(language: string): Promise<Availability> {
    const api = this.#api();
    if (!api) return missing('engine-failed', 'This browser has no speech recognition.');
    if (!this.#local) return { ok: true };
    if (!('processLocally' in api.prototype) || !api.available)
      return missing('engine-failed', 'This browser cannot recognise speech on the device.');
    switch (await this.#packOf(language)) {
      case 'available':
        return { ok: true };
      case 'downloadable':
      case 'downloading':
        return missing('language-missing', `The browser's language pack for "${language}" is not installed.`);
      case 'unavailable':
        return missing('language-missing', `The browser has no language pack for "${language}".`);
      default:
        return missing(
          'engine-failed',
          'The browser did not say whether it can recognise speech on the device.',
        );
    }
  }

  async prepare(language: string, signal: AbortSignal): Promise<Availability> {
    if (signal.aborted) return { ok: false, reason: 'aborted' };
    return this.available(language);
  }

  /** Is the language pack not here, and could it be fetched? */
  async installable(language: string): Promise<boolean> {
    const install = this.#local && this.#api()?.install;
    return Boolean(install) && (await this.#packOf(language)) === 'downloadable';
  }

  /** Fetches the language pack. Needs a tap of the user and a network, and sends no sound. Never rejects. */
  async install(language: string): Promise<Availability> {
    const api = this.#api();
    if (!this.#local || !api?.install)
      return missing('engine-failed', 'This browser cannot install a language pack.');
    const limit = this.#options.installWithin ?? 30_000;
    let why = `The browser gave no answer within ${Math.round(limit / 1000)} seconds; it may still be fetching the language pack for "${language}".`;
    // Nothing may be awaited before this: the press of the user is spent by then.
    const done = await within(limit, async () => {
      try {
        return await api.install?.({ langs: [language], processLocally: true });
      } catch (error) {
        why = `The browser refused to install its language pack for "${language}": ${String(error)}`;
        return undefined;
      }
    });
    if (done === undefined) return missing('language-missing', why);
    return done
      ? this.available(language)
      : missing('language-missing', `The browser could not install its language pack for "${language}".`);
  }

  /** What the browser says of the pack. undefined: it does not say. */
  async #packOf(language: string): Promise<string | undefined> {
    return within(
      this.#options.askWithin ?? 2_000,
      // Thrown at once by some builds, rejected by others.
      async () => this.#api()?.available?.({ langs: [language], processLocally: true }),
    );
  }

  async *listen(request: HearRequest, signal: AbortSignal): AsyncGenerator<HearEvent, void, undefined> {
    this.#stopCurrent?.();
    const events = new Queue<HearEvent>();
    const transcript = new Transcript(this.id);
    const api = this.#api();
    let session: Recognition | undefined;
    let ended = false;
    let stopping = false;
    let ready = false;
    let speaking = false;
    let sessions = 0;
    let spoken = '';
    let usePhrases = true;
    let watchdog: ReturnType<typeof setTimeout> | undefined;

    const end = (reason: EndReason, detail?: string) => {
      if (ended) return;
      ended = true;
      clearTimeout(watchdog);
      signal.removeEventListener('abort', onAbort);
      request.done.removeEventListener('abort', onDone);
      if (this.#stopCurrent === onAbort) this.#stopCurrent = undefined;
      const left = session;
      session = undefined;
      try {
        left?.abort();
      } catch {
        // It was over already.
      }
      events.push({ type: 'end', reason, ...(detail === undefined ? {} : { detail }) });
      events.close();
    };
    /** The turn is over as the speaker wished, or as far as this engine goes. */
    const finish = () => {
      if (ended) return;
      const heard = transcript.last();
      if (heard) events.push({ type: 'final', heard });
      end(heard ? 'finished' : 'nothing-heard');
    };
    const onAbort = () => end('aborted');
    const onDone = () => {
      if (ended || stopping) return;
      stopping = true;
      if (!session) return finish();
      watch(this.#options.stopWithin ?? 4_000, finish);
      try {
        session.stop();
      } catch {
        finish();
      }
    };
    const watch = (ms: number, act: () => void) => {
      clearTimeout(watchdog);
      watchdog = setTimeout(act, ms);
    };
    const speech = (now: boolean) => {
      if (speaking === now || ended) return;
      speaking = now;
      events.push({ type: now ? 'speech-start' : 'speech-end' });
    };

    this.#stopCurrent = onAbort;
    signal.addEventListener('abort', onAbort);
    request.done.addEventListener('abort', onDone);

    /** A session that ended by itself: engines stop after a pause or a minute; the speaker may not be done. */
    const over = () => {
      if (ended) return;
      speech(false);
      if (stopping) return finish();
      const before = spoken;
      spoken = transcript.heard(true)?.text ?? '';
      sessions++;
      // Ending again and again at once with nothing new is no pause but a fault.
      if (sessions > 50 && spoken === before) return finish();
      transcript.nextSession();
      setTimeout(() => {
        if (!ended) begin();
      }, 50);
    };

    const begin = () => {
      if (!api) return end('engine-failed', 'This browser has no speech recognition.');
      let recognition: Recognition;
      try {
        recognition = new api();
        recognition.lang = request.language;
        recognition.continuous = true;
        recognition.interimResults = true;
        recognition.maxAlternatives = 3;
        if (this.#local) recognition.processLocally = true;
        if (usePhrases) this.#suggest(recognition, request.phrases);
      } catch (error) {
        return end('engine-failed', `The browser's recogniser cannot be set up: ${String(error)}`);
      }
      // Set aside by an engine that ignores it, the sound would leave the device.
      if (this.#local && recognition.processLocally !== true)
        return end('language-missing', 'This browser cannot recognise speech on the device.');
      session = recognition;
      // The first of error and end settles a session; some builds send no end, some send errors twice.
      let settled = false;
      const mine = () => session === recognition && !settled && !ended;
      const on = <E extends Event>(type: string, act: (event: E) => void) =>
        recognition.addEventListener(type, (event) => {
          if (mine()) act(event as E);
        });
      const alive = () => {
        if (!stopping) clearTimeout(watchdog);
        if (ready || stopping) return;
        ready = true;
        events.push({ type: 'ready' });
      };
      on('start', alive);
      on('audiostart', alive);
      on('speechstart', () => speech(true));
      on('speechend', () => speech(false));
      on<RecognitionResultEvent>('result', (event) => {
        alive();
        transcript.take(event);
        const heard = transcript.heard(true);
        if (heard && !stopping) events.push({ type: 'interim', heard });
      });
      on<RecognitionErrorEvent>('error', (event) => {
        settled = true;
        switch (event.error) {
          case 'phrases-not-supported':
            if (!usePhrases) return end('engine-failed', 'The browser refused hints that it was not given.');
            usePhrases = false;
            return restart();
          case 'no-speech':
            return over();
          case 'aborted':
            // Another tab took the recogniser, or the browser did.
            return stopping
              ? finish()
              : sessions > 3
                ? end('engine-failed', 'The browser took its recogniser away.')
                : over();
          case 'not-allowed':
            return end('denied', 'The browser was not given leave to use the microphone.');
          case 'service-not-allowed':
            return end('engine-failed', 'The browser does not allow its speech recognition.');
          case 'audio-capture':
            return end('no-device', 'No microphone is connected.');
          case 'language-not-supported':
            return end(
              'language-missing',
              `The browser's recogniser does not know "${request.language}" on this device.`,
            );
          case 'network':
            return end('network', "The browser's recognition service cannot be reached.");
          default:
            return end('engine-failed', `The browser's recogniser failed: ${event.error}`);
        }
      });
      on('end', () => {
        settled = true;
        over();
      });
      watch(this.#options.startWithin ?? 8_000, () =>
        end('engine-failed', "The browser's recogniser did not start."),
      );
      try {
        recognition.start();
      } catch (error) {
        end('engine-failed', `The browser's recogniser did not start: ${String(error)}`);
      }
    };
    const restart = () => {
      try {
        session?.abort();
      } catch {
        // It was over already.
      }
      begin();
    };

    if (signal.aborted) end('aborted');
    else if (request.done.aborted) finish();
    else begin();
    try {
      yield* events;
    } finally {
      end('aborted');
    }
  }

  #suggest(recognition: Recognition, phrases: readonly string[]): void {
    const Phrase = this.#scope().SpeechRecognitionPhrase;
    if (!Phrase || !('phrases' in recognition) || phrases.length === 0) return;
    // Boosts go from 0 to 10; one that lifts without drowning what is really said.
    recognition.phrases = [...new Set(phrases)].slice(0, phraseLimit).map((phrase) => new Phrase(phrase, 3));
  }

  #scope(): RecognitionScope {
    return this.#options.scope ?? (globalThis as RecognitionScope);
  }

  #api(): RecognitionConstructor | undefined {
    const scope = this.#scope();
    // The prefixed one knows nothing of working on the device.
    return scope.SpeechRecognition ?? (this.#local ? undefined : scope.webkitSpeechRecognition);
  }
}

/** Recognition by the browser on this device. Sound never leaves it. */
export class BrowserHearing extends WebSpeech {
  constructor(options: BrowserOptions = {}) {
    super(true, options);
  }
}

/** Recognition by a service of the browser's maker: sound leaves the device. */
export class BrowserCloudHearing extends WebSpeech {
  /** Whether this browser has speech recognition at all. Whether a service answers shows only in use. */
  static isThere(scope: RecognitionScope = globalThis as RecognitionScope): boolean {
    return (scope.SpeechRecognition ?? scope.webkitSpeechRecognition) !== undefined;
  }

  /** `allowed`: the site permits it and the learner agreed. Made only with both. */
  constructor(allowed: { bySite: true; byLearner: true }, options: BrowserOptions = {}) {
    if (allowed.bySite !== true || allowed.byLearner !== true)
      throw new Error('the cloud recogniser needs leave of the site and of the learner');
    super(false, options);
  }
}

function missing(reason: EndReason, detail: string): Availability {
  return { ok: false, reason, detail };
}

/** What `work` gives, or undefined when it fails or takes longer than `ms`. */
async function within<T>(ms: number, work: () => Promise<T>): Promise<T | undefined> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  try {
    return await Promise.race([
      work(),
      new Promise<undefined>((resolve) => {
        timer = setTimeout(() => resolve(undefined), ms);
      }),
    ]);
  } catch {
    return undefined;
  } finally {
    clearTimeout(timer);
  }
}
