import { assign, enqueueActions, setup } from 'xstate';
import { adjusted } from '../pace';
import { sayMachine } from '../say';
import { type Earcon, interpret, listen } from '../services';
import type { SnapshotOf } from '../snapshot';
import type { TurnContext, TurnEvent, TurnInput, TurnOutput } from './context';

/** What the states of a turn are made of: the machines inside, guards, actions, delays. */
export const turnSetup = setup({
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
});
