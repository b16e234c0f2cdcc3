import { assign } from 'xstate';
import { loudest } from '../pace';
import * as script from '../script';
import { words } from './context';
import { saying } from './inner';
import { visitSetup } from './setup';
import { onVoice } from './voice';

/** Help is called, and called again until somebody says that it is here. */
export const help = visitSetup.createStateConfig({
  entry: [
    {
      type: 'note',
      params: ({ context }) => [
        { type: 'help-called', by: context.help?.by ?? 'learner', text: context.help?.text ?? '' },
      ],
    },
    { type: 'callStaff', params: ({ context }) => context.help ?? { by: 'learner', text: '' } },
  ],
  initial: 'saying',
  exit: 'dropInner',
  on: {
    // Nothing but the end of the call leads out of it.
    PAUSE: {},
    STOP: {},
    AGAIN: { target: '.saying', actions: 'hush' },
    ...onVoice({ target: '.saying', actions: 'adjustHere' }),
    HELP_OVER: 'helpOver',
  },
  states: {
    saying: {
      invoke: {
        ...saying(
          (c) => script.prompt(words(c), c.help?.by === 'distress' ? 'distressHelp' : 'helpComing'),
          loudest,
        ),
        onDone: { target: 'waiting', actions: 'quiet' },
      },
    },
    // A call that nobody heard is made again, until somebody says that help is here.
    waiting: {
      after: {
        callAgain: {
          target: 'saying',
          actions: {
            type: 'callStaff',
            params: ({ context }) => context.help ?? { by: 'learner', text: '' },
          },
        },
      },
    },
  },
});

/** Says so, and the visit goes on from where it was. */
export const helpOver = visitSetup.createStateConfig({
  entry: assign({ help: null }),
  exit: 'dropInner',
  invoke: { ...saying((c) => script.prompt(words(c), 'helpOver')), onDone: 'main' },
  on: { GO_ON: 'main', YES: 'main', HELP_OVER: 'main' },
});
