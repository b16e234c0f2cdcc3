import { assign } from 'xstate';
import type { VisitFact } from '../../src/records/types';
import type { Finding } from '../../src/scoring/types';
import { needed } from '../progress';
import * as script from '../script';
import { request, type StepContext } from './context';
import { askInput, saying } from './inner';
import { judgeInput } from './judging';
import { stepSetup } from './setup';

/** Is it safe to take it as it was heard? */
export const heard = stepSetup.createStateConfig({
  always: [
    { guard: 'unsure', target: 'confirm' },
    { guard: ({ context }) => context.heardMode === 'voice', target: 'weighing' },
    { target: 'keeping' },
  ],
});

/** Does a point that must be understood hang on words that may have been misheard? */
const hangsOnDoubt = ({ progress: p, words }: StepContext, findings: readonly Finding[]): boolean => {
  const must = needed(words.lesson, p.step);
  return findings.some(
    ({ concept, doubtful }) => doubtful && p.asked.includes(concept) && must.includes(concept),
  );
};

/** Would a word that may be misheard decide? Then the speaker decides first: nothing is noted as judged here. */
export const weighing = stepSetup.createStateConfig({
  invoke: {
    src: 'judge',
    input: ({ context }) => judgeInput(context),
    onDone: [
      {
        guard: ({ context, event }) => hangsOnDoubt(context, event.output),
        target: 'confirm',
      },
      { target: 'keeping' },
    ],
    onError: 'keeping',
  },
  after: {
    worthTelling: { actions: { type: 'playEarcon', params: { name: 'thinking' } } },
    judgeStuck: 'keeping',
  },
});

/** "I heard: ... Is that right?" */
export const confirm = stepSetup.createStateConfig({
  exit: 'dropInner',
  invoke: {
    id: 'inner',
    src: 'ask',
    input: ({ context }) =>
      askInput(
        context,
        { ...request(context), kind: 'yes-no' },
        script.confirm(context.words, context.heard?.text ?? ''),
      ),
    onSnapshot: { actions: 'keepInner' },
    onDone: [
      {
        guard: ({ event }) => event.output.kind === 'yes',
        target: 'keeping',
        actions: assign({ confirmed: true }),
      },
      {
        guard: ({ event }) => event.output.kind === 'no',
        target: 'rejected',
      },
      {
        guard: ({ event }) => event.output.kind === 'cards',
        target: 'cards',
        actions: assign({ mode: 'cards' }),
      },
      { target: 'keeping' },
    ],
  },
  on: {
    YES: { actions: 'toInner' },
    NO: { actions: 'toInner' },
    GO_ON: { actions: 'toInner' },
    DONE: { actions: 'toInner' },
    TYPE: { target: 'turn', actions: assign({ typed: ({ event }) => event.text }) },
    USE_VOICE: { actions: [assign({ mode: 'voice' }), 'toInner'] },
    USE_CARDS: { target: 'cards', actions: assign({ mode: 'cards' }) },
  },
});

const heardFact = ({ progress: p, heard, heardMode }: StepContext, confirmed: boolean | null): VisitFact[] =>
  heard === null
    ? []
    : [{ type: 'heard', step: p.step, attempt: p.attempt, mode: heardMode, heard, confirmed }];

/** Taken down badly: our fault, so it costs no try. Twice, and the cards are offered. */
export const rejected = stepSetup.createStateConfig({
  entry: [
    {
      type: 'tell',
      params: ({ context }) => heardFact(context, false),
    },
    assign({ rejects: ({ context }) => context.rejects + 1, lead: ['sayItAgain'], heard: null }),
  ],
  always: [
    {
      guard: ({ context }) => context.rejects >= 2,
      target: 'cards',
      actions: assign({ rejects: 0, offered: true }),
    },
    { target: 'asking' },
  ],
});

/** Nothing is said back or judged before it is stored. */
export const keeping = stepSetup.createStateConfig({
  entry: {
    type: 'tell',
    params: ({ context }) => heardFact(context, context.confirmed),
  },
  on: { RECORDED: 'kept' },
  after: { storeStuck: 'kept' },
});

/** What was confirmed, typed or tapped need not be said back. */
export const kept = stepSetup.createStateConfig({
  always: [
    {
      guard: ({ context }) => context.heardMode === 'voice' && context.confirmed === null,
      target: 'sayBack',
    },
    { target: 'judging' },
  ],
});

/** "I heard: ...", and on, unless that is not right. */
export const sayBack = stepSetup.createStateConfig({
  exit: 'dropInner',
  invoke: {
    ...saying(({ words, heard }) => script.sayBack(words, heard?.text ?? '')),
    onDone: 'judging',
  },
  on: {
    GO_ON: 'judging',
    YES: 'judging',
    NO: {
      target: 'asking',
      actions: [
        {
          type: 'tell',
          params: ({ context }) => [
            { type: 'not-heard', step: context.progress.step, reason: 'said-not-right' },
          ],
        },
        assign({ lead: ['sayItAgain'], heard: null }),
      ],
    },
  },
});
