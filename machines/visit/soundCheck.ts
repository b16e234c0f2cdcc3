import { assign } from 'xstate';
import * as script from '../script';
import { advised, inFigures, mostAdvice, spokenAdvice } from '../soundCheck';
import { cloudFact, words } from './context';
import { asking, buttons, saying } from './inner';
import { visitSetup } from './setup';

/** The welcome, and whether each hears the other. */
export const soundCheck = visitSetup.createStateConfig({
  entry: assign({ sound: null }),
  exit: 'dropInner',
  on: {
    ...buttons,
    SOUND: { actions: 'weigh' },
  },
  invoke: {
    src: 'ask',
    ...asking(
      'sound-check',
      'yes-no',
      (c) =>
        c.soundLead === null
          ? script.welcome(words(c), cloudFact(c)?.agreed)
          : script.yesNo(words(c), c.soundLead),
      (c) => script.yesNo(words(c), 'soundCheckAgain'),
    ),
    onDone: [
      {
        guard: ({ context, event }) =>
          event.output.kind === 'no' && context.soundTries < 2 && !advised(context),
        target: 'soundCheck',
        reenter: true,
        actions: [
          'louder',
          'slower',
          assign({
            soundTries: ({ context }) => context.soundTries + 1,
            soundLead: 'soundCheckLouder',
          }),
        ],
      },
      {
        // Heard, but not well: say what would help, and listen once more.
        guard: ({ context, event }) =>
          ['yes', 'unclear'].includes(event.output.kind) &&
          spokenAdvice(context) !== null &&
          context.soundBad <= mostAdvice,
        target: 'soundCheck',
        reenter: true,
        actions: assign({ soundLead: ({ context }) => spokenAdvice(context) }),
      },
      {
        guard: ({ context, event }) =>
          ['yes', 'unclear'].includes(event.output.kind) && spokenAdvice(context) !== null,
        target: 'soundFine',
        actions: {
          type: 'note',
          params: ({ context }) => [
            {
              type: 'sound-checked',
              ok: false,
              detail: `went on: ${context.sound?.verdict}${inFigures(context)}`,
            },
          ],
        },
      },
      {
        // Yes, or any words: both ears work.
        guard: ({ event }) => ['yes', 'unclear'].includes(event.output.kind),
        target: 'soundFine',
        actions: {
          type: 'note',
          params: ({ context, event }) => [
            {
              type: 'sound-checked',
              ok: true,
              detail: `${event.output.kind}; volume ${context.volume}, rate ${context.rate}${inFigures(context)}`,
            },
          ],
        },
      },
      {
        target: 'choose',
        actions: [
          {
            type: 'note',
            params: ({ event }) => [
              {
                type: 'sound-checked',
                ok: false,
                detail: `went on: ${event.output.kind}`,
              },
            ],
          },
          { type: 'go', params: 'first-question' },
        ],
      },
    ],
  },
});

/** Says how it went. */
export const soundFine = visitSetup.createStateConfig({
  entry: { type: 'go', params: 'first-question' },
  exit: 'dropInner',
  invoke: {
    ...saying((c) => script.prompt(words(c), spokenAdvice(c) === null ? 'soundCheckFine' : 'soundCheckGoOn')),
    onDone: 'choose',
  },
  on: { GO_ON: 'choose', DONE: 'choose' },
});
