import { assign } from 'xstate';
import type { VisitFact } from '../../src/records/types';
import * as script from '../script';
import { type VisitContext, words } from './context';
import { asking, buttons, saying } from './inner';
import { visitSetup } from './setup';

/** Questions before the first step. */
export const firstQuestion = visitSetup.createStateConfig({
  exit: 'dropInner',
  on: buttons,
  invoke: {
    src: 'ask',
    ...asking(
      'first-question',
      'yes-no',
      (c) => script.firstQuestion(words(c)),
      (c) => script.yesNo(words(c), 'questionsFirst'),
    ),
    onDone: [
      {
        guard: ({ event }) => event.output.kind === 'yes',
        target: '#visit.flow.question',
      },
      { target: 'teaching' },
    ],
  },
});

/** Another question, or the end. */
export const anyQuestion = visitSetup.createStateConfig({
  entry: { type: 'go', params: 'any-question' },
  exit: 'dropInner',
  on: {
    ...buttons,
    AGAIN: 'summary',
  },
  invoke: {
    src: 'ask',
    ...asking('any-question', 'yes-no', (c) => script.yesNo(words(c), 'anyQuestion')),
    onDone: [
      {
        guard: ({ event }) => event.output.kind === 'yes',
        target: '#visit.flow.question',
      },
      {
        target: '#visit.flow.ended',
        actions: [
          { type: 'note', params: [{ type: 'finished', how: 'completed' }] },
          { type: 'go', params: 'ended' },
        ],
      },
    ],
  },
});

const kept = ({ asked }: VisitContext): VisitFact[] => [{ type: 'question', text: asked, answer: null }];

/** The learner asks. Approved answers are said; anything else is kept for a person. */
export const question = visitSetup.createStateConfig({
  initial: 'asking',
  exit: 'dropInner',
  states: {
    asking: {
      exit: 'dropInner',
      on: buttons,
      invoke: {
        src: 'ask',
        ...asking('question', 'question', (c) => script.prompt(words(c), 'questionPlease')),
        onDone: [
          {
            guard: ({ event }) => event.output.kind === 'answer',
            target: 'looking',
            actions: assign({
              asked: ({ event }) => (event.output.kind === 'answer' ? event.output.heard.text : ''),
              says: null,
            }),
          },
          { target: '#visit.flow.main' },
        ],
      },
    },
    looking: {
      invoke: {
        src: 'answerQuestion',
        input: ({ context }) => ({
          module: context.start.module,
          language: context.start.language,
          text: context.asked,
        }),
        onDone: {
          target: 'answer',
          actions: [
            assign({ says: ({ event }) => event.output?.says ?? null }),
            {
              type: 'note',
              params: ({ context, event }) => [
                { type: 'question', text: context.asked, answer: event.output?.id ?? null },
              ],
            },
          ],
        },
        onError: {
          target: 'answer',
          actions: { type: 'note', params: ({ context }) => kept(context) },
        },
      },
      after: {
        answerStuck: {
          target: 'answer',
          actions: { type: 'note', params: ({ context }) => kept(context) },
        },
      },
    },
    answer: {
      exit: 'dropInner',
      invoke: {
        ...saying((c) => script.answer(words(c), c.says)),
        onDone: '#visit.flow.main',
      },
      on: { GO_ON: '#visit.flow.main', DONE: '#visit.flow.main', ASK: 'asking' },
    },
  },
});
