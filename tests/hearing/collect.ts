import type { HearEvent, Hearing, HearRequest } from '../../src/hearing/types';

export interface Listening {
  events: HearEvent[];
  done: AbortController;
  stop: AbortController;
  /** All events, once the stream is over. */
  over: Promise<HearEvent[]>;
}

/** Starts a turn and gathers its events. */
export function listenTo(engine: Hearing, request: Partial<HearRequest> = {}): Listening {
  const done = new AbortController();
  const stop = new AbortController();
  const events: HearEvent[] = [];
  const over = (async () => {
    const stream = engine.listen(
      {
        language: 'en-US',
        module: 'inhaler-spacer',
        step: 'puff',
        phrases: ['hold my breath'],
        done: done.signal,
        ...request,
      },
      stop.signal,
    );
    for await (const event of stream) events.push(event);
    return events;
  })();
  return { events, done, stop, over };
}

export const types = (events: readonly HearEvent[]) => events.map((event) => event.type);
export const endOf = (events: readonly HearEvent[]) => {
  const ends = events.filter((event) => event.type === 'end');
  if (ends.length !== 1 || events.at(-1)?.type !== 'end')
    throw new Error(`a stream ends with exactly one end, not with: ${types(events).join(' ')}`);
  return ends[0]!;
};
/** Lets everything that waits on promises go on. */
export const settle = async () => {
  for (let i = 0; i < 20; i++) await Promise.resolve();
};
