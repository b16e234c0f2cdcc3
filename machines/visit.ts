import { assign, not } from 'xstate';
import { firstContext } from './visit/context';
import { ended } from './visit/end';
import { help, helpOver } from './visit/help';
import { showMe, summary, teaching } from './visit/lesson';
import { begin, begun, cloud, resume } from './visit/opening';
import { paused } from './visit/pause';
import { anyQuestion, firstQuestion, question } from './visit/question';
import { visitSetup } from './visit/setup';
import { soundCheck, soundFine } from './visit/soundCheck';
import { store } from './visit/store';
import { onVoice } from './visit/voice';

export type { VisitContext } from './visit/context';

/**
 * The whole visit: sound check, the steps, show-me, summary. Help, pause, stop, a question, again, slower
 * and louder work from anywhere; words of distress interrupt everything. Whatever is interrupted goes on
 * from the facts, the same way as after a crash.
 */
export const visitMachine = visitSetup.createMachine({
  id: 'visit',
  type: 'parallel',
  context: firstContext,
  states: {
    store,

    flow: {
      initial: 'begin',
      on: {
        FACTS: { actions: { type: 'note', params: ({ event }) => event.facts } },
        VOICE: { actions: 'noteEngines' },
        ENGINE: { actions: 'noteEngines' },
        DISTRESS: {
          target: '.help',
          actions: assign({ help: ({ event }) => ({ by: 'distress', text: event.phrase }) }),
        },
        HELP: {
          target: '.help',
          actions: assign({ help: { by: 'learner', text: '' } }),
        },
        PAUSE: '.paused',
        STOP: '.paused',
        ...onVoice({ actions: 'adjust' }),
        AGAIN: { actions: 'toInner' },
        USE_CARDS: { actions: [assign({ mode: 'cards' }), 'toInner'] },
        // Not before the learner has answered whether the only ear there is may be used.
        USE_VOICE: { guard: not('asksCloud'), actions: [assign({ mode: 'voice' }), 'toInner'] },
      },
      states: {
        begin,
        begun,
        cloud,
        resume,

        main: {
          initial: 'choose',
          on: {
            ASK: 'question',
            USE_VOICE: [
              { guard: 'asksCloud', target: '#visit.flow.cloud' },
              { actions: [assign({ mode: 'voice' }), 'toInner'] },
            ],
          },
          states: {
            choose: {
              always: [
                { guard: 'asksCloudFirst', target: '#visit.flow.begun' },
                { guard: { type: 'at', params: 'sound-check' }, target: 'soundCheck' },
                { guard: { type: 'at', params: 'first-question' }, target: 'firstQuestion' },
                { guard: { type: 'at', params: 'teaching' }, target: 'teaching' },
                { guard: { type: 'at', params: 'show-me' }, target: 'showMe' },
                { guard: { type: 'at', params: 'summary' }, target: 'summary' },
                { guard: { type: 'at', params: 'any-question' }, target: 'anyQuestion' },
                { target: '#visit.flow.ended' },
              ],
            },

            soundCheck,
            soundFine,
            firstQuestion,
            teaching,
            showMe,
            summary,
            anyQuestion,
          },
        },

        question,
        help,
        helpOver,
        paused,
        ended,
      },
    },
  },
});
