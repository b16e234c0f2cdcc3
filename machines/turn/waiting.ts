import { and, assign, not, raise, sendTo } from 'xstate';
import { said } from './context';
import { turnSetup } from './setup';

/** The speaker has paused, and may go on. */
const quiet = turnSetup.createStateConfig({
  on: {
    'ear.speech-start': { target: 'hearing', actions: assign({ edges: true }) },
    'ear.interim': [
      { guard: 'edges', actions: assign({ interim: ({ event }) => event.heard }) },
      { target: 'hearing', actions: assign({ interim: ({ event }) => event.heard }) },
    ],
    'ear.final': { actions: assign({ heard: ({ event }) => event.heard }) },
  },
});

/** How long a speaker is waited for: by what the engine tells of speech, or else by its interim results. */
export const pace = turnSetup.createStateConfig({
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
      ...quiet,
      after: {
        shortPause: { guard: 'short', target: 'closing' },
        longPause: { guard: not('short'), target: 'takeYourTime' },
      },
    },
    takeYourTime: {
      entry: { type: 'playEarcon', params: { name: 'take-your-time' } },
      ...quiet,
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
});

/** In a loud room a yes never seems to end. */
export const limit = turnSetup.createStateConfig({
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
});
