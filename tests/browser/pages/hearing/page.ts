import { EmbeddedHearing } from '../../../../src/hearing/embedded/engine';
import type { HearEvent, Hearing } from '../../../../src/hearing/types';

/** Hearing alone on a page, for tests: start a turn, end it, look at what came. */
const engine = new EmbeddedHearing({
  // Echo cancelling and the like would change the sound that a test plays.
  constraints: { echoCancellation: false, noiseSuppression: false, autoGainControl: false },
  soundWithin: Number(new URLSearchParams(location.search).get('soundWithin') ?? 5000),
});

let stop = new AbortController();
let done = new AbortController();
let events: HearEvent[] = [];
let over: Promise<void> = Promise.resolve();

async function run(hearing: Hearing, phrases: string[]): Promise<void> {
  const request = {
    language: 'en',
    module: 'inhaler-spacer',
    step: 'puff',
    phrases,
    done: done.signal,
  };
  for await (const event of hearing.listen(request, stop.signal)) events.push(event);
}

const bench = {
  prepare: (language: string) => engine.prepare(language, new AbortController().signal),
  start(phrases: string[]): void {
    stop = new AbortController();
    done = new AbortController();
    events = [];
    over = run(engine, phrases);
  },
  events: () => events,
  done(): void {
    done.abort();
  },
  abort(): void {
    stop.abort();
  },
  async over(): Promise<HearEvent[]> {
    await over;
    return events;
  },
};
export type HearingBench = typeof bench;

declare global {
  interface Window {
    hearing?: HearingBench;
  }
}
window.hearing = bench;
