import type { AskInput } from '../ask';
import type { TurnRequest } from '../types';
import type { StepContext } from './context';

/** Speaks in this step: sentences by what the context holds. */
export const saying = (sentences: (context: StepContext) => string[]) => ({
  id: 'inner' as const,
  src: 'say' as const,
  input: ({ context }: { context: StepContext }) => ({
    home: context.home,
    lead: context.told,
    sentences: sentences(context),
    rate: context.rate,
    volume: context.volume,
    language: context.words.start.language,
  }),
  onSnapshot: { actions: 'keepInner' as const },
});

/** What a question of this step goes to `ask` with. */
export const askInput = (context: StepContext, request: TurnRequest, say: string[]): AskInput => ({
  home: context.home,
  words: context.words,
  timings: context.timings,
  request,
  say,
  rate: context.rate,
  volume: context.volume,
  mode: context.mode,
});
