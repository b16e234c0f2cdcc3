import * as script from '../script';
import { type VisitContext, words } from './context';
import { saying } from './inner';
import { visitSetup } from './setup';
import { onVoice } from './voice';

const whyPaused = (event: string) =>
  event === 'STOP' ? 'stop asked for' : event === 'PAUSE' ? 'pause asked for' : 'not ready to go on';

const isFinished = ({ facts }: VisitContext): boolean => facts.some((f) => f.type === 'finished');

/** Nothing happens until somebody goes on; a second stop ends the visit. */
export const paused = visitSetup.createStateConfig({
  entry: { type: 'note', params: ({ event }) => [{ type: 'paused', why: whyPaused(event.type) }] },
  exit: 'dropInner',
  initial: 'saying',
  on: {
    GO_ON: { target: 'main', actions: { type: 'note', params: [{ type: 'resumed' }] } },
    YES: { target: 'main', actions: { type: 'note', params: [{ type: 'resumed' }] } },
    PAUSE: {},
    STOP: {
      target: 'ended',
      actions: [
        {
          type: 'note',
          // Help called at the very end, then stopped: the visit has finished already.
          params: ({ context }) => (isFinished(context) ? [] : [{ type: 'finished', how: 'stopped' }]),
        },
        { type: 'go', params: 'ended' },
      ],
    },
    AGAIN: { target: '.saying', actions: 'hush' },
    ...onVoice({ target: '.saying', actions: 'adjustHere' }),
  },
  states: {
    saying: {
      invoke: {
        ...saying((c) => script.paused(words(c))),
        onDone: [{ guard: 'goesByEar', target: 'hearing' }, { actions: 'quiet' }],
      },
    },
    // Who goes by ear alone can say it, once; then the ear stays closed and the button remains.
    hearing: {
      exit: 'dropInner',
      invoke: {
        id: 'inner',
        src: 'turn',
        input: ({ context, self }) => ({
          home: self,
          timings: context.timings,
          request: {
            kind: 'yes-no' as const,
            language: context.start.language,
            module: context.start.module,
            step: 'paused',
            concepts: [],
          },
          say: [],
          rate: context.rate,
          volume: context.volume,
        }),
        onSnapshot: { actions: 'keepInner' },
        onDone: { target: 'quiet', actions: 'obey' },
      },
      on: { DONE: { actions: 'toInner' } },
    },
    quiet: {},
  },
});
