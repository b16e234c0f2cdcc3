import { and, assign, enqueueActions, not, raise, sendTo, setup, stateIn } from 'xstate';
import type { EndReason, Heard, HearEvent } from '../src/hearing/types';
import { type Adjust, adjusted, type Voice } from './pace';
import { sayMachine } from './say';
import { type Earcon, type Home, interpret, type ListenSends, listen } from './services';
import type { SnapshotOf } from './snapshot';
import type { Meaning, Timings, TurnRequest } from './types';

export interface TurnInput extends Voice {
  home: Home;
  timings: Timings;
  request: TurnRequest;
  /** Said before the ear opens. */
  say: string[];
  /** A typed answer takes the path of a heard one, from there on. */
  typed?: string;
}

export type TurnOutput =
  | { kind: 'heard'; heard: Heard; meaning: Meaning; mode: 'voice' | 'typed' }
  | { kind: 'nothing-heard'; detail?: string }
  | { kind: 'trouble'; reason: EndReason; detail?: string };

interface TurnContext extends Omit<TurnInput, 'typed'> {
  mode: 'voice' | 'typed';
  /** Said once before what is said anyway. */
  lead: string[];
  heard: Heard | null;
  interim: Heard | null;
  level: number;
  /** The engine tells where speech starts and ends; without, the interim results must do. */
  edges: boolean;
  output: TurnOutput | null;
  inner: SnapshotOf | null;
}

type Prefixed<E> = E extends { type: string } ? Omit<E, 'type'> & { type: `ear.${E['type']}` } : never;
type TurnEvent =
  | ListenSends
  | Prefixed<HearEvent>
  | { type: 'DONE' }
  | { type: 'GO_ON' }
  | { type: 'AGAIN' }
  | Adjust
  | { type: 'TYPE'; text: string };

const said = (heard: Heard | null): heard is Heard => heard !== null && heard.text.trim() !== '';
const typed = (text: string): Heard => ({ text, confidence: 1, alternatives: [], engine: 'typed' });

/**
 * One spoken turn, half-duplex: say the question, a quiet tail, open the ear, wait as long as the speaker
 * needs, close, understand. Ends with what was heard, with nothing, or with trouble. Never speaks while the
 * ear is open.
 */
export const turnMachine = setup({
  types: {} as { context: TurnContext; input: TurnInput; output: TurnOutput; events: TurnEvent },
  actors: { say: sayMachine, listen, interpret },
  actions: {
    playEarcon: (_, _params: { name: Earcon }) => {},
    /** An ear that did not say what it is, is known by what it heard. */
    tellEar: enqueueActions(({ context: { mode, home, heard }, enqueue }) => {
      if (mode === 'voice' && heard !== null)
        enqueue.sendTo(home, { type: 'ENGINE', ear: heard.engine, why: 'in use' });
    }),
    adjust: assign(({ event }) => (event.type === 'ADJUST' ? { ...adjusted(event), lead: event.says } : {})),
    fresh: assign({ mode: 'voice', heard: null, interim: null, edges: false, level: -100 }),
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
  },
  guards: {
    short: ({ context }) => context.request.kind === 'short' || context.request.kind === 'yes-no',
    yesNo: ({ context }) => context.request.kind === 'yes-no',
    edges: ({ context }) => context.edges,
    typed: ({ context }) => context.mode === 'typed',
  },
  delays: {
    quietTail: ({ context }) => context.timings.quietTail,
    shortPause: ({ context }) => context.timings.shortPause,
    longPause: ({ context }) => context.timings.longPause,
    restOfPause: ({ context }) => Math.max(0, context.timings.closePause - context.timings.longPause),
    closePause: ({ context }) => context.timings.closePause,
    nothingHeard: ({ context }) => context.timings.nothingHeard,
    longestTurn: ({ context }) => context.timings.longestTurn,
    engineStuck: ({ context }) => context.timings.engineStuck,
    longestYesNo: ({ context }) => context.timings.nothingHeard,
    // A first opening may load a model.
    openStuck: ({ context }) => Math.max(context.timings.engineStuck * 3, context.timings.nothingHeard),
  },
}).createMachine({
  id: 'turn',
  context: ({ input: { typed: text, ...input } }) => ({
    ...input,
    mode: text === undefined ? 'voice' : 'typed',
    lead: [],
    heard: text === undefined ? null : typed(text),
    interim: null,
    level: -100,
    edges: false,
    output: null,
    inner: null,
  }),
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
        pace: {
          initial: 'opening',
          states: {
            opening: {
              on: {
                'ear.ready': 'waiting',
                'ear.speech-start': { target: 'hearing', actions: assign({ edges: true }) },
                'ear.interim': {
                  target: 'hearing',
                  actions: assign({ interim: ({ event }) => event.heard }),
                },
                'ear.final': { target: 'pausing', actions: assign({ heard: ({ event }) => event.heard }) },
              },
              after: {
                openStuck: {
                  target: '#turn.over',
                  actions: assign({
                    output: {
                      kind: 'trouble',
                      reason: 'engine-failed',
                      detail: 'the ear did not open in time',
                    },
                  }),
                },
              },
            },
            waiting: {
              on: {
                'ear.speech-start': { target: 'hearing', actions: assign({ edges: true }) },
                'ear.interim': {
                  target: 'hearing',
                  actions: assign({ interim: ({ event }) => event.heard }),
                },
                'ear.final': { target: 'pausing', actions: assign({ heard: ({ event }) => event.heard }) },
              },
              after: { nothingHeard: 'closing' },
            },
            hearing: {
              on: {
                'ear.speech-start': { actions: assign({ edges: true }) },
                'ear.speech-end': { target: 'pausing', actions: assign({ edges: true }) },
                'ear.interim': {
                  target: 'hearing',
                  reenter: true,
                  actions: assign({ interim: ({ event }) => event.heard }),
                },
                'ear.final': [
                  { guard: 'edges', actions: assign({ heard: ({ event }) => event.heard }) },
                  { target: 'pausing', actions: assign({ heard: ({ event }) => event.heard }) },
                ],
              },
              // Without edges, silence is a lack of new interim results.
              after: {
                shortPause: { guard: and([not('edges'), 'short']), target: 'closing' },
                longPause: { guard: and([not('edges'), not('short')]), target: 'takeYourTime' },
              },
            },
            pausing: {
              on: {
                'ear.speech-start': { target: 'hearing', actions: assign({ edges: true }) },
                'ear.interim': [
                  { guard: 'edges', actions: assign({ interim: ({ event }) => event.heard }) },
                  { target: 'hearing', actions: assign({ interim: ({ event }) => event.heard }) },
                ],
                'ear.final': { actions: assign({ heard: ({ event }) => event.heard }) },
              },
              after: {
                shortPause: { guard: 'short', target: 'closing' },
                longPause: { guard: not('short'), target: 'takeYourTime' },
              },
            },
            takeYourTime: {
              entry: { type: 'playEarcon', params: { name: 'take-your-time' } },
              on: {
                'ear.speech-start': { target: 'hearing', actions: assign({ edges: true }) },
                'ear.interim': [
                  { guard: 'edges', actions: assign({ interim: ({ event }) => event.heard }) },
                  { target: 'hearing', actions: assign({ interim: ({ event }) => event.heard }) },
                ],
                'ear.final': { actions: assign({ heard: ({ event }) => event.heard }) },
              },
              after: { restOfPause: 'closing' },
            },
            closing: {
              entry: sendTo('ear', { type: 'DONE' }),
              on: {
                'ear.interim': { actions: assign({ interim: ({ event }) => event.heard }) },
                'ear.final': { actions: assign({ heard: ({ event }) => event.heard }) },
              },
              after: {
                // The engine hangs: take what there is.
                engineStuck: [
                  { guard: ({ context }) => said(context.heard), target: '#turn.understanding' },
                  {
                    guard: ({ context }) => said(context.interim),
                    target: '#turn.understanding',
                    actions: assign({ heard: ({ context }) => context.interim }),
                  },
                  {
                    target: '#turn.over',
                    actions: assign({
                      output: {
                        kind: 'trouble',
                        reason: 'engine-failed',
                        detail: 'no answer after it was told to finish',
                      },
                    }),
                  },
                ],
              },
            },
          },
        },
        // In a loud room a yes never seems to end.
        limit: {
          initial: 'none',
          states: {
            none: {
              on: {
                'ear.speech-start': { guard: 'yesNo', target: 'counting' },
                'ear.interim': { guard: 'yesNo', target: 'counting' },
              },
            },
            counting: { after: { longestYesNo: { actions: raise({ type: 'DONE' }) } } },
          },
        },
        // Words of distress count at once, in the middle of a sentence.
        watch: {
          initial: 'idle',
          on: { 'ear.interim': '.checking' },
          states: {
            idle: {},
            checking: {
              invoke: {
                src: 'interpret',
                input: ({ context, event }) => ({
                  heard: event.type === 'ear.interim' ? event.heard : (context.interim ?? typed('')),
                  kind: context.request.kind,
                  language: context.request.language,
                  concepts: context.request.concepts,
                }),
                onDone: [
                  {
                    guard: ({ context, event }) => event.output.kind === 'distress' && said(context.interim),
                    target: '#turn.over',
                    actions: assign({
                      output: ({ context, event }) => ({
                        kind: 'heard',
                        heard: context.interim as Heard,
                        meaning: event.output,
                        mode: 'voice',
                      }),
                    }),
                  },
                  { target: 'idle' },
                ],
                onError: 'idle',
              },
            },
          },
        },
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

const heardOutput = (context: TurnContext, meaning: Meaning): TurnOutput => ({
  kind: 'heard',
  heard: context.heard as Heard,
  meaning,
  mode: context.mode,
});
