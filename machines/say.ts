import { assign, sendTo, setup } from 'xstate';
import { louder, readingTime, slower, softer, stuckAfter } from './pace';
import { type Home, type SpeakInput, type SpeakSends, speak } from './services';

export interface SayInput extends SpeakInput {
  home: Home;
}

interface SayContext extends SayInput {
  /** The sentence the voice was started at. */
  from: number;
  /** The sentence that sounds now; -1: silence. */
  index: number;
}

/**
 * Says sentences, one caption each. Says them from the start (AGAIN), slower or louder at once.
 * A voice that fails leaves the captions standing long enough to be read.
 */
export const sayMachine = setup({
  types: {} as {
    context: SayContext;
    input: SayInput;
    events: SpeakSends | { type: 'AGAIN' } | { type: 'SLOWER' } | { type: 'LOUDER' } | { type: 'SOFTER' };
  },
  actors: { speak },
  delays: {
    readingTime: ({ context }) => readingTime(context.sentences.slice(Math.max(context.index, context.from))),
    stuck: ({ context }) => stuckAfter(context.sentences.slice(context.from), context.rate),
  },
  actions: {
    fromStart: assign({ from: 0, index: -1 }),
    fromHere: assign({ from: ({ context }) => Math.max(context.index, context.from) }),
    slower: assign({ rate: ({ context }) => slower(context.rate) }),
    louder: assign({ volume: ({ context }) => louder(context.volume) }),
    softer: assign({ volume: ({ context }) => softer(context.volume) }),
  },
}).createMachine({
  id: 'say',
  context: ({ input }) => ({ ...input, from: 0, index: -1 }),
  initial: 'ready',
  on: {
    AGAIN: { target: '.speaking', actions: 'fromStart' },
    SLOWER: { target: '.speaking', actions: ['fromHere', 'slower'] },
    LOUDER: { target: '.speaking', actions: ['fromHere', 'louder'] },
    SOFTER: { target: '.speaking', actions: ['fromHere', 'softer'] },
  },
  states: {
    ready: {
      always: [
        { guard: ({ context }) => context.sentences.length === 0, target: 'said' },
        { target: 'speaking' },
      ],
    },
    speaking: {
      invoke: {
        src: 'speak',
        input: ({ context }) => ({
          sentences: context.sentences.slice(context.from),
          rate: context.rate,
          volume: context.volume,
          language: context.language,
        }),
        onError: { target: 'reading' },
      },
      on: {
        SPEAKING: { actions: assign({ index: ({ context, event }) => context.from + event.index }) },
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
    reading: { after: { readingTime: 'said' } },
    said: { type: 'final', entry: assign({ index: -1 }) },
  },
});
