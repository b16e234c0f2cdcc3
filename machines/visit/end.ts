import * as script from '../script';
import { type VisitContext, words } from './context';
import { saying } from './inner';
import { visitSetup } from './setup';
import { onVoice } from './voice';

const stoppedEarly = ({ facts }: VisitContext) =>
  facts.some((f) => f.type === 'finished' && f.how === 'stopped');

/** The last words. */
export const ended = visitSetup.createStateConfig({
  exit: 'dropInner',
  initial: 'saying',
  on: {
    PAUSE: {},
    STOP: {},
    AGAIN: { target: '.saying', actions: 'hush' },
    ...onVoice({ target: '.saying', actions: 'adjustHere' }),
  },
  states: {
    saying: {
      invoke: {
        ...saying((c) => script.ending(words(c), stoppedEarly(c), c.next)),
        onDone: { actions: 'quiet' },
      },
    },
  },
});
