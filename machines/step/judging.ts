import { assign } from 'xstate';
import type { Heard } from '../../src/hearing/types';
import type { VisitFact } from '../../src/records/types';
import { judgeable, worthKeeping } from '../judgeable';
import { merge } from '../progress';
import type { StepContext } from './context';
import { stepSetup } from './setup';

/** What the speaker confirmed stands: other readings, poorly heard words and a low trust no longer speak against it. */
function toJudge({ heard, confirmed }: StepContext): Heard {
  if (!heard || !confirmed) return heard as Heard;
  const { words: _, ...plain } = heard;
  return { ...plain, confidence: 1, alternatives: [] };
}

/** All that was heard in this try, to be judged for what was asked. */
export const judgeInput = (context: StepContext) => ({
  module: context.words.start.module,
  language: context.words.start.language,
  step: context.progress.step,
  concepts: judgeable(context),
  heard: toJudge(context),
});

/** What was understood of what was asked. A judge that fails leaves it to a person. */
export const judging = stepSetup.createStateConfig({
  initial: 'choose',
  states: {
    choose: {
      always: [
        { guard: ({ context }) => context.heardMode === 'touch', target: 'byCards' },
        { target: 'byWords' },
      ],
    },
    byWords: {
      invoke: {
        src: 'judge',
        input: ({ context }) => judgeInput(context),
        onDone: {
          target: '#step.judged',
          actions: assign({ judged: ({ context, event }) => worthKeeping(context, event.output) }),
        },
        onError: {
          target: '#step.judged',
          actions: { type: 'leaveUnjudged', params: ({ event }) => String(event.error) },
        },
      },
    },
    byCards: {
      invoke: {
        src: 'judgeCards',
        input: ({ context }) => ({
          module: context.words.start.module,
          language: context.words.start.language,
          step: context.progress.step,
          concepts: context.progress.asked,
          cards: context.chosen,
        }),
        onDone: {
          target: '#step.judged',
          actions: assign({ judged: ({ context, event }) => worthKeeping(context, event.output) }),
        },
        onError: {
          target: '#step.judged',
          actions: { type: 'leaveUnjudged', params: ({ event }) => String(event.error) },
        },
      },
    },
  },
  after: {
    worthTelling: { actions: { type: 'playEarcon', params: { name: 'thinking' } } },
    judgeStuck: {
      target: 'judged',
      actions: { type: 'leaveUnjudged', params: 'no result in time' },
    },
  },
});

/** The findings, added to those of the tries before. */
export const judged = stepSetup.createStateConfig({
  entry: [
    {
      type: 'tell',
      params: ({ context: { progress: p, judged } }) => [
        { type: 'judged', step: p.step, attempt: p.attempt, findings: judged } as VisitFact,
      ],
    },
    assign({
      progress: ({ context: { progress: p, judged } }) => ({
        ...p,
        stage: 'decide' as const,
        before: p.findings,
        findings: merge(p.findings, judged),
      }),
    }),
  ],
  on: { RECORDED: 'decide' },
  after: { storeStuck: 'decide' },
});
