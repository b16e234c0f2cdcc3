import { BrowserHearing } from '../../../../src/hearing/browser/engine';
import { EmbeddedHearing } from '../../../../src/hearing/embedded/engine';
import type { HearEvent } from '../../../../src/hearing/types';

/** Hearing alone on a page, for tests: start a turn, end it, look at what came. */
let modulePhrases: string[] = [];
const engines = {
  embedded: new EmbeddedHearing({
    // Echo cancelling and the like would change the sound that a test plays.
    constraints: { echoCancellation: false, noiseSuppression: false, autoGainControl: false },
    modulePhrases: () => modulePhrases,
  }),
  browser: new BrowserHearing(),
};

let stop = new AbortController();
let done = new AbortController();
let events: HearEvent[] = [];
let over: Promise<void> = Promise.resolve();

async function run(engine: keyof typeof engines, step: string, phrases: string[]): Promise<void> {
  const request = { language: 'en', module: 'inhaler-spacer', step, phrases, done: done.signal };
  for await (const event of engines[engine].listen(request, stop.signal)) events.push(event);
}

const bench = {
  prepare: (language: string) => engines.embedded.prepare(language, new AbortController().signal),
  browserAvailable: (language: string) => engines.browser.available(language),
  start(step: string, phrases: string[], ofModule: string[] = [], engine: keyof typeof engines = 'embedded') {
    stop = new AbortController();
    done = new AbortController();
    events = [];
    modulePhrases = ofModule;
    over = run(engine, step, phrases);
  },
  events: () => events,
  done: () => done.abort(),
  abort: () => stop.abort(),
  async over(): Promise<HearEvent[]> {
    await over;
    return events;
  },
};
export type HearingBench = typeof bench;

declare global {
  interface Window {
    hearing: HearingBench;
  }
}
window.hearing = bench;
