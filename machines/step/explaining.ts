import * as script from '../script';
import { saying } from './inner';
import { stepSetup } from './setup';

/** First teaching, or the same again. */
export const explain = stepSetup.createStateConfig({
  exit: 'dropInner',
  invoke: {
    ...saying(({ words, progress }) => script.explain(words, progress.step)),
    onDone: 'explained',
  },
  on: { GO_ON: 'explained', DONE: 'explained' },
});

/** Noted when it has been said. */
export const explained = stepSetup.createStateConfig({
  entry: {
    type: 'tell',
    params: ({ context }) => [{ type: 'explained', step: context.progress.step, wording: context.wording }],
  },
  always: 'asking',
});
