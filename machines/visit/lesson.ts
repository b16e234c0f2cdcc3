import { assign } from 'xstate';
import { nextStep, outcome, stepProgress } from '../progress';
import * as script from '../script';
import { words } from './context';
import { buttons, saying } from './inner';
import { visitSetup } from './setup';
import { onVoice } from './voice';

/** The steps, one after the other, each by a machine of its own. */
export const teaching = visitSetup.createStateConfig({
  entry: [
    { type: 'go', params: 'teaching' },
    assign({ step: ({ context }) => nextStep(context.start, context.facts) }),
  ],
  exit: 'dropInner',
  initial: 'choose',
  states: {
    choose: {
      always: [
        { guard: ({ context }) => context.step === null, target: '#visit.flow.main.showMe' },
        { target: 'step' },
      ],
    },
    step: {
      on: { ...buttons, CARDS: { actions: 'toInner' } },
      invoke: {
        id: 'inner',
        src: 'step',
        input: ({ context, self }) => ({
          home: self,
          words: words(context),
          timings: context.timings,
          mode: context.mode,
          rate: context.rate,
          volume: context.volume,
          progress: stepProgress(context.lesson, context.facts, context.step ?? ''),
        }),
        onSnapshot: { actions: 'keepInner' },
        onDone: { target: '#visit.flow.main.teaching', reenter: true },
      },
    },
  },
});

/** The learner shows it; staff tick what they saw. */
export const showMe = visitSetup.createStateConfig({
  entry: { type: 'go', params: 'show-me' },
  exit: 'dropInner',
  always: {
    guard: ({ context }) => context.lesson.module.showMe.length === 0,
    target: 'summary',
  },
  invoke: {
    ...saying((c) => script.showMe(words(c))),
    onDone: { actions: 'quiet' },
  },
  on: {
    GO_ON: 'summary',
    AGAIN: { target: 'showMe', reenter: true },
    ...onVoice({ target: 'showMe', reenter: true, actions: 'adjustHere' }),
    SHOWN: {
      actions: {
        type: 'note',
        params: ({ event }) => [{ type: 'show-me', point: event.point, shown: event.shown }],
      },
    },
  },
});

/** What was said back well, and what a person will go over. */
export const summary = visitSetup.createStateConfig({
  entry: { type: 'go', params: 'summary' },
  exit: 'dropInner',
  invoke: {
    ...saying((c) => {
      const { understood, handedOver } = outcome(c.lesson, c.start, c.facts);
      return script.summary(words(c), understood, handedOver);
    }),
    onDone: 'anyQuestion',
  },
  on: { GO_ON: 'anyQuestion' },
});
