import type { AnyActorRef } from 'xstate';
import type { AskInput } from '../ask';
import type { TurnRequest } from '../types';
import { type VisitContext, words } from './context';

/** Says something in this state, after what is to be told first. */
export const saying = (sentences: (context: VisitContext) => string[], volume?: number) => ({
  id: 'inner' as const,
  src: 'say' as const,
  input: ({ context, self }: { context: VisitContext; self: AnyActorRef }) => ({
    home: self,
    lead: context.told,
    sentences: sentences(context),
    rate: context.rate,
    volume: volume ?? context.volume,
    language: context.start.language,
  }),
  onSnapshot: { actions: 'keepInner' as const },
});

/**
 * Asks the learner in this state; `again` is said in place of the question when nothing was heard. What comes of it
 * is typed by a `src: 'ask'` that stands beside it.
 */
export const asking = (
  step: string,
  kind: TurnRequest['kind'],
  sentences: (context: VisitContext) => string[],
  again?: (context: VisitContext) => string[],
) => ({
  id: 'inner' as const,
  input: ({ context, self }: { context: VisitContext; self: AnyActorRef }): AskInput => ({
    home: self,
    words: words(context),
    timings: context.timings,
    request: { kind, language: context.start.language, module: context.start.module, step, concepts: [] },
    say: sentences(context),
    ...(again === undefined ? {} : { sayAgain: again(context) }),
    rate: context.rate,
    volume: context.volume,
    mode: context.mode,
  }),
  onSnapshot: { actions: 'keepInner' as const },
});

/** Buttons of a question that the inner `ask` acts upon. */
export const buttons = {
  YES: { actions: 'toInner' },
  NO: { actions: 'toInner' },
  GO_ON: { actions: 'toInner' },
  DONE: { actions: 'toInner' },
  TYPE: { actions: 'toInner' },
} as const;
