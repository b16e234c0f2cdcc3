import { and, assign, not } from 'xstate';
import * as script from '../script';
import { questionOf, request, type StepContext } from './context';
import { askInput, saying } from './inner';
import { stepSetup } from './setup';

/** What is asked in this try, by voice or by cards. */
export const asking = stepSetup.createStateConfig({
  entry: {
    type: 'tell',
    params: ({ context }) => [
      {
        type: 'asked',
        step: context.progress.step,
        attempt: context.progress.attempt,
        concepts: context.progress.asked,
        text: questionOf(context).join(' '),
      },
    ],
  },
  always: [
    { guard: ({ context }) => context.mode === 'cards' && context.typed === null, target: 'cards' },
    { target: 'turn' },
  ],
});

const toSay = (context: StepContext) => {
  const { progress: p, words, lead } = context;
  return script.ask(words, p.step, p.attempt, p.asked, p.findings, lead);
};

/** One question by voice, or typed, until it has an answer. */
export const turn = stepSetup.createStateConfig({
  exit: ['dropInner', assign({ typed: null, lead: [] })],
  invoke: {
    id: 'inner',
    src: 'ask',
    input: ({ context }) => ({
      ...askInput(context, request(context), toSay(context)),
      ...(context.typed === null ? {} : { typed: context.typed }),
    }),
    onSnapshot: { actions: 'keepInner' },
    onDone: [
      {
        guard: ({ event }) => event.output.kind === 'cards',
        target: 'cards',
        actions: assign({ mode: 'cards' }),
      },
      {
        guard: ({ event }) => event.output.kind === 'answer',
        target: 'heard',
        actions: assign({
          heard: ({ event: { output } }) => (output.kind === 'answer' ? output.heard : null),
          heardMode: ({ event: { output } }) => (output.kind === 'answer' ? output.mode : 'voice'),
          confirmed: null,
          agains: 0,
        }),
      },
      {
        // "Next" at a broken ear: the cards go on.
        guard: ({ context }) =>
          context.lead.includes('ownWordsPlease') || context.inner?.value === 'troubled',
        target: 'cards',
        actions: assign({ offered: true }),
      },
      { target: 'asking', actions: assign({ lead: ['ownWordsPlease'] }) },
    ],
  },
  on: {
    AGAIN: [
      {
        guard: and([({ context }) => context.agains >= 1, not('rechecks')]),
        target: 'explain',
        actions: assign({ agains: 0, wording: 'repeat' }),
      },
      { actions: [assign({ agains: ({ context }) => context.agains + 1 }), 'toInner'] },
    ],
    GO_ON: { actions: 'toInner' },
    DONE: { actions: 'toInner' },
    TYPE: { actions: 'toInner' },
    USE_VOICE: { actions: [assign({ mode: 'voice' }), 'toInner'] },
    USE_CARDS: { target: 'cards', actions: assign({ mode: 'cards' }) },
  },
});

/** Answered by touch. */
export const cards = stepSetup.createStateConfig({
  exit: ['dropInner', assign({ lead: [] })],
  invoke: {
    ...saying((context) =>
      script.cards(context.words, questionOf(context), context.progress.asked, context.offered),
    ),
    onDone: { actions: 'quiet' },
  },
  on: {
    // No card at all is an answer too: "I do not know yet".
    CARDS: {
      target: 'keeping',
      actions: assign({
        offered: false,
        chosen: ({ event }) => event.chosen,
        heardMode: 'touch',
        confirmed: null,
        heard: ({ event }) => ({
          text: event.chosen.map((c) => c.text).join(' '),
          confidence: 1,
          alternatives: [],
          engine: 'touch',
        }),
      }),
    },
    TYPE: {
      guard: ({ event }) => event.text.trim() !== '',
      target: 'turn',
      actions: assign({ typed: ({ event }) => event.text }),
    },
    USE_VOICE: { target: 'asking', actions: assign({ mode: 'voice', offered: false }) },
    AGAIN: { target: 'cards', reenter: true },
    ADJUST: { target: 'cards', reenter: true, actions: ['adjust', 'tellFirst'] },
  },
});
