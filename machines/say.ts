import { assign, sendTo, setup } from 'xstate';
import { type Adjust, adjusted, readingTime, stuckAfter } from './pace';
import { type Home, type SpeakInput, type SpeakSends, speak } from './services';

export interface SayInput extends SpeakInput {
  home: Home;
  /** Said first, and not said again. */
  lead?: string[];
}

interface SayContext extends SayInput {
  lead: string[];
  /** Which sentence of the lead sounds; -1: none. */
  leading: number;
  /** The sentence the voice was started at. */
  from: number;
  /** The sentence that sounds now; -1: silence. */
  index: number;
}

/**
 * Says sentences, one caption each. Says them from the start (AGAIN), or in another way at once (ADJUST), with a
 * word about it first.
 * A voice that fails leaves the captions standing long enough to be read.
 */
export const sayMachine = setup({
  types: {} as {
    context: SayContext;
    input: SayInput;
    events: SpeakSends | { type: 'AGAIN' } | Adjust;
  },
  actors: { speak },
  delays: {
    readingTime: ({ context }) => readingTime(context.sentences.slice(Math.max(context.index, context.from))),
    stuck: ({ context }) =>
      stuckAfter([...context.lead, ...context.sentences.slice(context.from)], context.rate),
  },
  actions: {
    fromStart: assign({ from: 0, index: -1, lead: [], leading: -1 }),
    adjust: assign(({ context, event }) =>
      event.type !== 'ADJUST'
        ? {}
        : {
            ...adjusted(event),
            from: Math.max(context.index, context.from),
            lead: event.says,
            leading: -1,
          },
    ),
  },
}).createMachine({
  id: 'say',
  context: ({ input }) => ({ ...input, lead: input.lead ?? [], leading: -1, from: 0, index: -1 }),
  initial: 'ready',
  on: {
    AGAIN: { target: '.speaking', actions: 'fromStart' },
    ADJUST: { target: '.speaking', actions: 'adjust' },
  },
  states: {
    ready: {
      always: [
        { guard: ({ context }) => context.sentences.length + context.lead.length === 0, target: 'said' },
        { target: 'speaking' },
      ],
    },
    speaking: {
      invoke: {
        src: 'speak',
        input: ({ context }) => ({
          sentences: [...context.lead, ...context.sentences.slice(context.from)],
          rate: context.rate,
          volume: context.volume,
          language: context.language,
        }),
        onError: { target: 'reading' },
      },
      on: {
        SPEAKING: {
          actions: assign(({ context: { lead, from }, event: { index } }) =>
            index < lead.length ? { leading: index } : { leading: -1, index: from + index - lead.length },
          ),
        },
        SPOKEN: [
          {
            guard: ({ event }) => event.end.reason === 'finished',
            target: 'said',
            actions: sendTo(
              ({ context }) => context.home,
              ({ event }) => ({ type: 'VOICE', voice: event.end.voice, why: event.end.detail ?? 'in use' }),
            ),
          },
          {
            target: 'reading',
            actions: sendTo(
              ({ context }) => context.home,
              ({ event }) => ({ type: 'VOICE', voice: 'none', why: event.end.detail ?? event.end.reason }),
            ),
          },
        ],
      },
      after: { stuck: 'reading' },
    },
    // No sound: the captions alone.
    reading: { entry: assign({ leading: -1 }), after: { readingTime: 'said' } },
    said: { type: 'final', entry: assign({ index: -1, leading: -1 }) },
  },
});
