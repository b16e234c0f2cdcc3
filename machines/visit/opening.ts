import { assign } from 'xstate';
import { placeOf } from '../progress';
import * as script from '../script';
import { cloudFact, words } from './context';
import { asking, buttons } from './inner';
import { visitSetup } from './setup';

/** A visit that is over, one that was interrupted, or a new one. */
export const begin = visitSetup.createStateConfig({
  always: [
    {
      guard: ({ context }) => context.past.some((f) => f.type === 'finished'),
      target: 'ended',
      actions: { type: 'go', params: 'ended' },
    },
    {
      guard: ({ context }) => context.past.length > 0,
      target: 'begun',
      actions: assign({
        place: ({ context }) => placeOf(context.lesson, context.start, context.facts),
        // A no of before still holds.
        mode: ({ context }) => (cloudFact(context)?.agreed === false ? 'cards' : context.mode),
      }),
    },
    {
      target: 'begun',
      actions: {
        type: 'note',
        params: ({ context }) => [{ type: 'visit-started', start: context.start }],
      },
    },
  ],
});

/** Where all but a finished visit sets out from. */
export const begun = visitSetup.createStateConfig({
  always: [
    { guard: 'asksCloudFirst', target: 'cloud' },
    { guard: 'interrupted', target: 'resume' },
    { target: 'main' },
  ],
});

/** Asked before anything is heard: the ear stays closed until there is an answer by hand. */
export const cloud = visitSetup.createStateConfig({
  entry: assign({ mode: 'cards' }),
  exit: 'dropInner',
  on: { YES: { actions: 'toInner' }, NO: { actions: 'toInner' }, USE_CARDS: {} },
  invoke: {
    src: 'ask',
    ...asking('cloud', 'yes-no', (c) => script.cloud(words(c))),
    onDone: {
      target: 'begun',
      actions: [
        assign({ mode: ({ event }) => (event.output.kind === 'yes' ? 'voice' : 'cards') }),
        {
          type: 'note',
          params: ({ event }) => [
            { type: 'cloud-asked', engine: 'browser-cloud', agreed: event.output.kind === 'yes' },
          ],
        },
      ],
    },
  },
});

/** "Shall we go on?" */
export const resume = visitSetup.createStateConfig({
  exit: 'dropInner',
  on: buttons,
  invoke: {
    src: 'ask',
    ...asking('resume', 'yes-no', (c) => script.yesNo(words(c), 'shallWeGoOn')),
    onDone: [
      { guard: ({ event }) => event.output.kind === 'no', target: 'paused' },
      { target: 'main', actions: { type: 'note', params: [{ type: 'resumed' }] } },
    ],
  },
});
