import { assign } from 'xstate';
import { asking, cards, turn } from './step/asking';
import { firstContext } from './step/context';
import { explain, explained } from './step/explaining';
import { confirm, heard, keeping, kept, rejected, sayBack, weighing } from './step/heard';
import { judged, judging } from './step/judging';
import { decide, handover, praise, retaught, reteach } from './step/responding';
import { stepSetup } from './step/setup';

export { questionOf, type StepContext } from './step/context';
export { sureEnough } from './step/setup';

/**
 * One step: explain, ask, listen, say back, judge; then praise, or teach again only what was missed and ask
 * for that alone. After three tries a person takes over. A re-check asks first and explains only what was missed.
 */
export const stepMachine = stepSetup.createMachine({
  id: 'step',
  context: firstContext,
  initial: 'begin',
  on: {
    ADJUST: { actions: ['adjust', 'toInner'] },
    AGAIN: { actions: 'toInner' },
    USE_VOICE: { actions: assign({ mode: 'voice' }) },
    USE_CARDS: { actions: assign({ mode: 'cards' }) },
  },
  states: {
    begin: {
      always: [
        { guard: ({ context }) => context.progress.stage === 'done', target: 'finished' },
        { guard: ({ context }) => context.progress.stage === 'close', target: 'closing' },
        { guard: ({ context }) => context.progress.stage === 'decide', target: 'decide' },
        { guard: ({ context }) => context.progress.stage === 'judge', target: 'judging' },
        { guard: ({ context }) => context.progress.stage === 'ask', target: 'asking' },
        // What stayed shows only before it is said again.
        { guard: 'rechecks', target: 'asking' },
        { target: 'explain' },
      ],
      exit: [
        {
          type: 'tell',
          params: ({ context: { progress: p } }) =>
            p.started || p.stage === 'done' ? [] : [{ type: 'step-started', step: p.step }],
        },
        assign({ progress: ({ context }) => ({ ...context.progress, started: true }) }),
      ],
    },

    explain,
    explained,

    asking,
    turn,
    cards,

    heard,
    weighing,
    confirm,
    rejected,
    keeping,
    kept,
    sayBack,

    judging,
    judged,

    decide,
    praise,
    reteach,
    retaught,
    handover,

    closing: {
      entry: {
        type: 'tell',
        params: ({ context }) => [{ type: 'step-finished', step: context.progress.step }],
      },
      on: { RECORDED: 'finished' },
      after: { storeStuck: 'finished' },
    },
    finished: { type: 'final' },
  },
});
