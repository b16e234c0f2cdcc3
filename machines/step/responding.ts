import { assign } from 'xstate';
import { needed } from '../progress';
import * as script from '../script';
import { missed, type StepContext } from './context';
import { saying } from './inner';
import { stepSetup } from './setup';

/** What follows from all findings so far. */
export const decide = stepSetup.createStateConfig({
  always: [
    { guard: 'allUnderstood', target: 'praise' },
    { guard: 'triesLeft', target: 'reteach' },
    { target: 'handover' },
  ],
});

/** All was understood; wrong beliefs about the rest are put right. */
export const praise = stepSetup.createStateConfig({
  exit: 'dropInner',
  invoke: {
    ...saying(({ words, progress: p }) =>
      script.praise(words, words.start.steps.indexOf(p.step) + p.attempt - 1, p.findings),
    ),
    onDone: 'closing',
  },
  on: { GO_ON: 'closing', DONE: 'closing' },
});

const reteaching = ({ progress: p, words }: StepContext): script.Reteaching => ({
  step: p.step,
  attempt: p.attempt,
  missed: missed({ progress: p, words }),
  findings: p.findings,
  before: p.before,
});

/** Only what was missed, in other words. */
export const reteach = stepSetup.createStateConfig({
  exit: 'dropInner',
  invoke: {
    ...saying((context) =>
      script.reteach(context.words, reteaching(context), needed(context.words.lesson, context.progress.step)),
    ),
    onDone: 'retaught',
  },
  on: { GO_ON: 'retaught', DONE: 'retaught' },
});

/** Noted when it has been said, so that an interrupted re-teaching is said again. */
export const retaught = stepSetup.createStateConfig({
  entry: [
    {
      type: 'tell',
      params: ({ context }) => {
        const { step, attempt } = context.progress;
        const r = reteaching(context);
        return [
          ...(script.useSimplest(r, needed(context.words.lesson, step))
            ? [{ type: 'explained', step, wording: 'simplest' } as const]
            : []),
          { type: 'retaught', step, attempt, concepts: [...r.missed] } as const,
        ];
      },
    },
    assign({
      progress: ({ context }) => ({
        ...context.progress,
        stage: 'ask' as const,
        attempt: context.progress.attempt + 1,
        asked: missed(context),
        heard: null,
      }),
      heard: null,
      agains: 0,
      rejects: 0,
    }),
  ],
  always: 'asking',
});

/** A person takes over. */
export const handover = stepSetup.createStateConfig({
  entry: {
    type: 'tell',
    params: ({ context }) => [
      { type: 'handed-over', step: context.progress.step, concepts: missed(context) },
    ],
  },
  exit: 'dropInner',
  invoke: {
    ...saying((context) => script.handover(context.words, missed(context))),
    onDone: 'closing',
  },
  on: { GO_ON: 'closing', DONE: 'closing' },
});
