import { assign, not, raise, sendTo, stateIn } from 'xstate';
import type { Heard } from '../src/hearing/types';
import { firstContext, heardOutput, said, typed } from './turn/context';
import { turnSetup } from './turn/setup';
import { limit, pace } from './turn/waiting';
import { watch } from './turn/watch';

export type { TurnOutput } from './turn/context';

/**
 * One spoken turn, half-duplex: say the question, a quiet tail, open the ear, wait as long as the speaker
 * needs, close, understand. Ends with what was heard, with nothing, or with trouble. Never speaks while the
 * ear is open.
 */
export const turnMachine = turnSetup.createMachine({
  id: 'turn',
  context: firstContext,
  initial: 'begin',
  output: ({ context }) => context.output ?? { kind: 'trouble', reason: 'engine-failed' },
  states: {
    begin: { always: [{ guard: 'typed', target: 'understanding' }, { target: 'asking' }] },

    asking: {
      entry: 'fresh',
      exit: assign({ inner: null, lead: [] }),
      invoke: {
        id: 'say',
        src: 'say',
        input: ({ context }) => ({
          home: context.home,
          lead: context.lead,
          sentences: context.say,
          rate: context.rate,
          volume: context.volume,
          language: context.request.language,
        }),
        onSnapshot: { actions: 'keepInner' },
        onDone: 'tail',
      },
      on: {
        DONE: 'tail',
        GO_ON: 'tail',
        AGAIN: { actions: sendTo('say', { type: 'AGAIN' }) },
        ADJUST: { actions: ['adjust', sendTo('say', ({ event }) => event)] },
      },
    },

    // Half-duplex: the room has to fall silent before the ear opens.
    tail: { after: { quietTail: 'listening' } },

    listening: {
      type: 'parallel',
      entry: { type: 'playEarcon', params: { name: 'your-turn' } },
      invoke: {
        id: 'ear',
        src: 'listen',
        input: ({ context }) => context.request,
        onError: {
          target: 'over',
          actions: assign({
            output: ({ event }) => ({
              kind: 'trouble',
              reason: 'engine-failed',
              detail: String(event.error),
            }),
          }),
        },
      },
      on: {
        HEARING: {
          actions: raise(({ event: { event } }) => ({ ...event, type: `ear.${event.type}` }) as never),
        },
        ENGINE: {
          actions: sendTo(
            ({ context }) => context.home,
            ({ event }) => event,
          ),
        },
        SOUND: {
          actions: sendTo(
            ({ context }) => context.home,
            ({ event }) => event,
          ),
        },
        'ear.level': { actions: assign({ level: ({ event }) => event.dbfs }) },
        'ear.end': [
          { guard: ({ context }) => said(context.heard), target: 'understanding' },
          {
            guard: ({ context, event }) => event.reason === 'finished' && said(context.interim),
            target: 'understanding',
            actions: assign({ heard: ({ context }) => context.interim }),
          },
          {
            guard: ({ event }) => event.reason === 'finished' || event.reason === 'nothing-heard',
            target: 'over',
            actions: assign({
              output: ({ event }) => ({
                kind: 'nothing-heard',
                ...(event.detail === undefined ? {} : { detail: event.detail }),
              }),
            }),
          },
          {
            target: 'over',
            actions: assign({
              output: ({ event }) => ({
                kind: 'trouble',
                reason: event.reason,
                ...(event.detail === undefined ? {} : { detail: event.detail }),
              }),
            }),
          },
        ],
        DONE: { guard: not(stateIn({ listening: { pace: 'closing' } })), target: '.pace.closing' },
        GO_ON: { guard: not(stateIn({ listening: { pace: 'closing' } })), target: '.pace.closing' },
      },
      after: {
        longestTurn: { guard: not(stateIn({ listening: { pace: 'closing' } })), target: '.pace.closing' },
      },
      states: {
        pace,
        limit,
        watch,
      },
    },

    understanding: {
      entry: [{ type: 'playEarcon', params: { name: 'heard' } }, 'tellEar'],
      invoke: {
        src: 'interpret',
        input: ({ context }) => ({
          heard: context.heard as Heard,
          kind: context.request.kind,
          language: context.request.language,
          concepts: context.request.concepts,
        }),
        onDone: {
          target: 'over',
          actions: assign({ output: ({ context, event }) => heardOutput(context, event.output) }),
        },
        onError: {
          target: 'over',
          actions: assign({ output: ({ context }) => heardOutput(context, { kind: 'answer' }) }),
        },
      },
      after: {
        engineStuck: {
          target: 'over',
          actions: assign({ output: ({ context }) => heardOutput(context, { kind: 'answer' }) }),
        },
      },
    },

    over: { type: 'final' },
  },
  on: {
    AGAIN: { target: '.asking', reenter: true },
    ADJUST: { target: '.asking', actions: 'adjust' },
    TYPE: {
      guard: ({ event }) => event.text.trim() !== '',
      target: '.understanding',
      actions: assign({ mode: 'typed', heard: ({ event }) => typed(event.text) }),
    },
  },
});
