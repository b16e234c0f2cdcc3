import { assign } from 'xstate';
import { visitSetup } from './setup';

/** Stores facts in order, one batch at a time, and keeps what could not be stored. */
export const store = visitSetup.createStateConfig({
  initial: 'idle',
  states: {
    idle: { always: { guard: 'waiting', target: 'writing' } },
    writing: {
      entry: assign({ inFlight: ({ context }) => context.queue.length }),
      invoke: {
        src: 'record',
        input: ({ context }) => context.queue,
        onDone: [
          {
            guard: ({ context }) => context.queue.length > context.inFlight,
            target: 'writing',
            reenter: true,
            actions: assign({
              queue: ({ context }) => context.queue.slice(context.inFlight),
              storeTrouble: false,
            }),
          },
          {
            target: 'idle',
            actions: [assign({ queue: [], inFlight: 0, storeTrouble: false }), 'tellStored'],
          },
        ],
        onError: {
          target: 'failed',
          actions: [assign({ inFlight: 0, storeTrouble: true }), 'tellStored'],
        },
      },
      after: { storeStuck: { actions: assign({ storeTrouble: true }) } },
    },
    failed: { after: { storeAgain: 'writing' } },
  },
});
