import { assign, enqueueActions, sendTo, setup } from 'xstate';
import type { VisitFact } from '../../src/records/types';
import { askMachine } from '../ask';
import { unjudgedFindings } from '../judgeable';
import { type Adjust, adjusted } from '../pace';
import { maxAttempts } from '../progress';
import { sayMachine } from '../say';
import { type Earcon, judge, judgeCards } from '../services';
import { innerOf, type SnapshotOf, silenced } from '../snapshot';
import type { PersonEvent } from '../types';
import { missed, type StepContext, type StepInput } from './context';

/** Below this a heard text is read back as a question: "Is that right?" (own choice, to be calibrated). */
export const sureEnough = 0.6;

/** RECORDED: all facts so far are stored, or storing them failed and the visit goes on all the same. */
type StepEvent = PersonEvent | Adjust | { type: 'RECORDED' };

/** What the states of a step are made of: the machines inside, guards, actions, delays. */
export const stepSetup = setup({
  types: {} as { context: StepContext; input: StepInput; events: StepEvent },
  actors: { say: sayMachine, ask: askMachine, judge, judgeCards },
  guards: {
    allUnderstood: ({ context }) => missed(context).length === 0,
    triesLeft: ({ context }) => context.progress.attempt < maxAttempts && !context.unjudged,
    unsure: ({ context }) =>
      context.heardMode === 'voice' && context.heard !== null && context.heard.confidence < sureEnough,
    rechecks: ({ context }) => context.words.start.recheck !== undefined,
  },
  actions: {
    playEarcon: (_, _params: { name: Earcon }) => {},
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    quiet: assign({ inner: ({ context }) => silenced(context.inner) }),
    dropInner: assign({ inner: null, told: [] }),
    adjust: assign(({ event }) => (event.type === 'ADJUST' ? adjusted(event) : {})),
    tellFirst: assign(({ event }) => (event.type === 'ADJUST' ? { told: event.says } : {})),
    /** The judge brought nothing: a person has to look. */
    leaveUnjudged: assign({
      judged: ({ context }, why: string) => unjudgedFindings(context, why),
      unjudged: true,
    }),
    tell: sendTo(
      ({ context }: { context: StepContext }) => context.home,
      (_, facts: VisitFact[]) => ({ type: 'FACTS', facts }),
    ),
    toInner: enqueueActions(({ self, event, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, event);
    }),
  },
  delays: {
    // The screen confirms nothing before it is stored; but a store that hangs does not hold up the visit.
    storeStuck: ({ context }) => context.timings.engineStuck,
    judgeStuck: ({ context }) => context.timings.engineStuck * 2,
    /** Silence as long as that sounds as if nobody were there. */
    worthTelling: 700,
  },
});
