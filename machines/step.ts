import { and, assign, enqueueActions, not, sendTo, setup } from 'xstate';
import type { Heard } from '../src/hearing/types';
import type { VisitFact } from '../src/records/types';
import type { Finding } from '../src/scoring/types';
import { askMachine } from './ask';
import { judgeable, unjudgedFindings, worthKeeping } from './judgeable';
import { type Adjust, adjusted, type Voice } from './pace';
import { maxAttempts, merge, needed, type StepProgress, stillMissed } from './progress';
import type { PromptKey } from './prompts';
import { sayMachine } from './say';
import * as script from './script';
import { type Earcon, type Home, judge, judgeCards } from './services';
import { innerOf, type SnapshotOf, silenced } from './snapshot';
import type { AnswerMode, Card, PersonEvent, Timings, TurnRequest } from './types';

/** Below this a heard text is read back as a question: "Is that right?" (own choice, to be calibrated). */
export const sureEnough = 0.6;

export interface StepInput extends Voice {
  home: Home;
  words: script.Words;
  timings: Timings;
  mode: AnswerMode;
  progress: StepProgress;
}

export interface StepContext extends StepInput {
  wording: 'first' | 'repeat' | 'simplest';
  /** "Say it again" during this question; the second one explains once more. */
  agains: number;
  /** Times the learner said that it was taken down badly. */
  rejects: number;
  lead: PromptKey[];
  /** Said once before what this step says itself. */
  told: string[];
  /** The cards were not asked for. */
  offered: boolean;
  typed: string | null;
  heard: Heard | null;
  heardMode: 'voice' | 'touch' | 'typed';
  confirmed: boolean | null;
  chosen: Card[];
  /** Judged in this try. */
  judged: Finding[];
  /** The judge failed: a person has to look. */
  unjudged: boolean;
  inner: SnapshotOf | null;
}

/** RECORDED: all facts so far are stored, or storing them failed and the visit goes on all the same. */
export type StepEvent = PersonEvent | Adjust | { type: 'RECORDED' };

const asking = (context: StepContext) => {
  const { progress: p, words, lead } = context;
  return script.ask(words, p.step, p.attempt, p.asked, p.findings, lead);
};

/** The question of this try, in sentences. */
export const questionOf = ({ progress: p, words }: Pick<StepContext, 'progress' | 'words'>) =>
  script.question(words, p.step, p.attempt, p.asked, p.findings);

const request = ({ progress: p, words }: StepContext): TurnRequest => ({
  kind: p.asked.length === 1 && script.asksApart(words, p.attempt, p.asked) ? 'short' : 'answer',
  language: words.start.language,
  module: words.start.module,
  step: p.step,
  concepts: p.asked,
});

const missed = ({ progress: p, words }: Pick<StepContext, 'progress' | 'words'>) =>
  stillMissed(words.lesson, p.step, p.findings);

const reteaching = ({ progress: p, words }: StepContext): script.Reteaching => ({
  step: p.step,
  attempt: p.attempt,
  missed: stillMissed(words.lesson, p.step, p.findings),
  findings: p.findings,
  before: p.before,
});

/** Speaks in this step: sentences by what the context holds. */
const saying = (sentences: (context: StepContext) => string[]) => ({
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

/** What the speaker confirmed stands: other readings, poorly heard words and a low trust no longer speak against it. */
function toJudge({ heard, confirmed }: StepContext): Heard {
  if (!heard || !confirmed) return heard as Heard;
  const { words: _, ...plain } = heard;
  return { ...plain, confidence: 1, alternatives: [] };
}

const judgeInput = (context: StepContext) => ({
  module: context.words.start.module,
  language: context.words.start.language,
  step: context.progress.step,
  concepts: judgeable(context),
  heard: toJudge(context),
});

/** Does a point that must be understood hang on words that may have been misheard? */
const hangsOnDoubt = ({ progress: p, words }: StepContext, findings: readonly Finding[]): boolean => {
  const must = needed(words.lesson, p.step);
  return findings.some(
    ({ concept, doubtful }) => doubtful && p.asked.includes(concept) && must.includes(concept),
  );
};

/**
 * One step: explain, ask, listen, say back, judge; then praise, or teach again only what was missed and ask
 * for that alone. After three tries a person takes over. A re-check asks first and explains only what was missed.
 */
export const stepMachine = setup({
  types: {} as { context: StepContext; input: StepInput; events: StepEvent },
  actors: { say: sayMachine, ask: askMachine, judge, judgeCards },
  guards: {
    allUnderstood: ({ context }) => missed(context).length === 0,
    triesLeft: ({ context }) => context.progress.attempt < maxAttempts && !context.unjudged,
    unsure: ({ context }) =>
      context.heardMode === 'voice' && context.heard !== null && context.heard.confidence < sureEnough,
    byCards: ({ context }) => context.mode === 'cards',
    rechecks: ({ context }) => context.words.start.recheck !== undefined,
  },
  actions: {
    playEarcon: (_, _params: { name: Earcon }) => {},
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    quiet: assign({ inner: ({ context }) => silenced(context.inner) }),
    dropInner: assign({ inner: null, told: [] }),
    adjust: assign(({ event }) => (event.type === 'ADJUST' ? adjusted(event) : {})),
    tellFirst: assign(({ event }) => (event.type === 'ADJUST' ? { told: event.says } : {})),
    tell: sendTo(
      ({ context }: { context: StepContext }) => context.home,
      (_, facts: VisitFact[]) => ({ type: 'FACTS', facts }),
    ),
    toInner: enqueueActions(({ self, event, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, event);
    }),
  },
  delays: {
    // The screen confirms nothing before it is stored; but a store that hangs does not hold up the visit.
    storeStuck: ({ context }) => context.timings.engineStuck,
    judgeStuck: ({ context }) => context.timings.engineStuck * 2,
    /** Silence as long as that sounds as if nobody were there. */
    worthTelling: 700,
  },
}).createMachine({
  id: 'step',
  context: ({ input }) => ({
    ...input,
    wording: 'first',
    agains: 0,
    rejects: 0,
    lead: [],
    told: [],
    offered: false,
    typed: null,
    heard: input.progress.heard,
    heardMode: input.progress.mode,
    confirmed: null,
    chosen: [],
    judged: [],
    unjudged: false,
    inner: null,
  }),
  initial: 'begin',
  on: {
    ADJUST: { actions: ['adjust', 'toInner'] },
    AGAIN: { actions: 'toInner' },
    USE_VOICE: { actions: assign({ mode: 'voice' }) },
    USE_CARDS: { actions: assign({ mode: 'cards' }) },
  },
  states: {
    begin: {
      always: [
        { guard: ({ context }) => context.progress.stage === 'done', target: 'finished' },
        { guard: ({ context }) => context.progress.stage === 'close', target: 'closing' },
        { guard: ({ context }) => context.progress.stage === 'decide', target: 'decide' },
        { guard: ({ context }) => context.progress.stage === 'judge', target: 'judging' },
        { guard: ({ context }) => context.progress.stage === 'ask', target: 'asking' },
        // What stayed shows only before it is said again.
        { guard: 'rechecks', target: 'asking' },
        { target: 'explain' },
      ],
      exit: [
        {
          type: 'tell',
          params: ({ context: { progress: p } }) =>
            p.started || p.stage === 'done' ? [] : [{ type: 'step-started', step: p.step }],
        },
        assign({ progress: ({ context }) => ({ ...context.progress, started: true }) }),
      ],
    },

    explain: {
      exit: 'dropInner',
      invoke: {
        ...saying(({ words, progress }) => script.explain(words, progress.step)),
        onDone: 'explained',
      },
      on: { GO_ON: 'explained', DONE: 'explained' },
    },
    explained: {
      entry: {
        type: 'tell',
        params: ({ context }) => [
          { type: 'explained', step: context.progress.step, wording: context.wording },
        ],
      },
      always: 'asking',
    },

    asking: {
      entry: {
        type: 'tell',
        params: ({ context }) => [
          {
            type: 'asked',
            step: context.progress.step,
            attempt: context.progress.attempt,
            concepts: context.progress.asked,
            text: questionOf(context).join(' '),
          },
        ],
      },
      always: [
        { guard: ({ context }) => context.mode === 'cards' && context.typed === null, target: 'cards' },
        { target: 'turn' },
      ],
    },

    turn: {
      exit: ['dropInner', assign({ typed: null, lead: [] })],
      invoke: {
        id: 'inner',
        src: 'ask',
        input: ({ context }) => ({
          home: context.home,
          words: context.words,
          timings: context.timings,
          request: request(context),
          say: asking(context),
          rate: context.rate,
          volume: context.volume,
          mode: context.mode,
          ...(context.typed === null ? {} : { typed: context.typed }),
        }),
        onSnapshot: { actions: 'keepInner' },
        onDone: [
          {
            guard: ({ event }) => event.output.kind === 'cards',
            target: 'cards',
            actions: assign({ mode: 'cards' }),
          },
          {
            guard: ({ event }) => event.output.kind === 'answer',
            target: 'heard',
            actions: assign({
              heard: ({ event: { output } }) => (output.kind === 'answer' ? output.heard : null),
              heardMode: ({ event: { output } }) => (output.kind === 'answer' ? output.mode : 'voice'),
              confirmed: null,
              agains: 0,
            }),
          },
          {
            // "Next" at a broken ear: the cards go on.
            guard: ({ context }) =>
              context.lead.includes('ownWordsPlease') || context.inner?.value === 'troubled',
            target: 'cards',
            actions: assign({ offered: true }),
          },
          { target: 'asking', actions: assign({ lead: ['ownWordsPlease'] }) },
        ],
      },
      on: {
        AGAIN: [
          {
            guard: and([({ context }) => context.agains >= 1, not('rechecks')]),
            target: 'explain',
            actions: assign({ agains: 0, wording: 'repeat' }),
          },
          { actions: [assign({ agains: ({ context }) => context.agains + 1 }), 'toInner'] },
        ],
        GO_ON: { actions: 'toInner' },
        DONE: { actions: 'toInner' },
        TYPE: { actions: 'toInner' },
        USE_VOICE: { actions: [assign({ mode: 'voice' }), 'toInner'] },
        USE_CARDS: { target: 'cards', actions: assign({ mode: 'cards' }) },
      },
    },

    cards: {
      exit: ['dropInner', assign({ lead: [] })],
      invoke: {
        ...saying((context) =>
          script.cards(context.words, questionOf(context), context.progress.asked, context.offered),
        ),
        onDone: { actions: 'quiet' },
      },
      on: {
        // No card at all is an answer too: "I do not know yet".
        CARDS: {
          target: 'keeping',
          actions: assign({
            offered: false,
            chosen: ({ event }) => event.chosen,
            heardMode: 'touch',
            confirmed: null,
            heard: ({ event }) => ({
              text: event.chosen.map((c) => c.text).join(' '),
              confidence: 1,
              alternatives: [],
              engine: 'touch',
            }),
          }),
        },
        TYPE: {
          guard: ({ event }) => event.text.trim() !== '',
          target: 'turn',
          actions: assign({ typed: ({ event }) => event.text }),
        },
        USE_VOICE: { target: 'asking', actions: assign({ mode: 'voice', offered: false }) },
        AGAIN: { target: 'cards', reenter: true },
        ADJUST: { target: 'cards', reenter: true, actions: ['adjust', 'tellFirst'] },
      },
    },

    heard: {
      always: [
        { guard: 'unsure', target: 'confirm' },
        { guard: ({ context }) => context.heardMode === 'voice', target: 'weighing' },
        { target: 'keeping' },
      ],
    },
    // Would a word that may be misheard decide? Then the speaker decides first: nothing is noted as judged here.
    weighing: {
      invoke: {
        src: 'judge',
        input: ({ context }) => judgeInput(context),
        onDone: [
          {
            guard: ({ context, event }) => hangsOnDoubt(context, event.output),
            target: 'confirm',
          },
          { target: 'keeping' },
        ],
        onError: 'keeping',
      },
      after: {
        worthTelling: { actions: { type: 'playEarcon', params: { name: 'thinking' } } },
        judgeStuck: 'keeping',
      },
    },

    confirm: {
      exit: 'dropInner',
      invoke: {
        id: 'inner',
        src: 'ask',
        input: ({ context }) => ({
          home: context.home,
          words: context.words,
          timings: context.timings,
          request: { ...request(context), kind: 'yes-no' as const },
          say: script.confirm(context.words, context.heard?.text ?? ''),
          rate: context.rate,
          volume: context.volume,
          mode: context.mode,
        }),
        onSnapshot: { actions: 'keepInner' },
        onDone: [
          {
            guard: ({ event }) => event.output.kind === 'yes',
            target: 'keeping',
            actions: assign({ confirmed: true }),
          },
          {
            guard: ({ event }) => event.output.kind === 'no',
            target: 'rejected',
          },
          {
            guard: ({ event }) => event.output.kind === 'cards',
            target: 'cards',
            actions: assign({ mode: 'cards' }),
          },
          { target: 'keeping' },
        ],
      },
      on: {
        YES: { actions: 'toInner' },
        NO: { actions: 'toInner' },
        GO_ON: { actions: 'toInner' },
        DONE: { actions: 'toInner' },
        TYPE: { target: 'turn', actions: assign({ typed: ({ event }) => event.text }) },
        USE_VOICE: { actions: [assign({ mode: 'voice' }), 'toInner'] },
        USE_CARDS: { target: 'cards', actions: assign({ mode: 'cards' }) },
      },
    },
    // Taken down badly: our fault, so it costs no try. Twice, and the cards are offered.
    rejected: {
      entry: [
        {
          type: 'tell',
          params: ({ context: { progress: p, heard, heardMode } }) =>
            heard === null
              ? []
              : [
                  {
                    type: 'heard',
                    step: p.step,
                    attempt: p.attempt,
                    mode: heardMode,
                    heard,
                    confirmed: false,
                  } as VisitFact,
                ],
        },
        assign({ rejects: ({ context }) => context.rejects + 1, lead: ['sayItAgain'], heard: null }),
      ],
      always: [
        {
          guard: ({ context }) => context.rejects >= 2,
          target: 'cards',
          actions: assign({ rejects: 0, offered: true }),
        },
        { target: 'asking' },
      ],
    },

    keeping: {
      entry: {
        type: 'tell',
        params: ({ context: { progress: p, heard, heardMode, confirmed } }) =>
          heard === null
            ? []
            : [
                {
                  type: 'heard',
                  step: p.step,
                  attempt: p.attempt,
                  mode: heardMode,
                  heard,
                  confirmed,
                } as VisitFact,
              ],
      },
      on: { RECORDED: 'kept' },
      after: { storeStuck: 'kept' },
    },
    kept: {
      always: [
        {
          guard: ({ context }) => context.heardMode === 'voice' && context.confirmed === null,
          target: 'sayBack',
        },
        { target: 'judging' },
      ],
    },

    sayBack: {
      exit: 'dropInner',
      invoke: {
        ...saying(({ words, heard }) => script.sayBack(words, heard?.text ?? '')),
        onDone: 'judging',
      },
      on: {
        GO_ON: 'judging',
        YES: 'judging',
        NO: {
          target: 'asking',
          actions: [
            {
              type: 'tell',
              params: ({ context }) => [
                { type: 'not-heard', step: context.progress.step, reason: 'said-not-right' },
              ],
            },
            assign({ lead: ['sayItAgain'], heard: null }),
          ],
        },
      },
    },

    judging: {
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
              actions: assign({
                judged: ({ context, event }) => unjudgedFindings(context, String(event.error)),
                unjudged: true,
              }),
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
              actions: assign({
                judged: ({ context, event }) => unjudgedFindings(context, String(event.error)),
                unjudged: true,
              }),
            },
          },
        },
      },
      after: {
        worthTelling: { actions: { type: 'playEarcon', params: { name: 'thinking' } } },
        judgeStuck: {
          target: 'judged',
          actions: assign({
            judged: ({ context }) => unjudgedFindings(context, 'no result in time'),
            unjudged: true,
          }),
        },
      },
    },
    judged: {
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
    },

    decide: {
      always: [
        { guard: 'allUnderstood', target: 'praise' },
        { guard: 'triesLeft', target: 'reteach' },
        { target: 'handover' },
      ],
    },

    praise: {
      exit: 'dropInner',
      invoke: {
        ...saying(({ words, progress: p }) =>
          script.praise(words, words.start.steps.indexOf(p.step) + p.attempt - 1, p.findings),
        ),
        onDone: 'closing',
      },
      on: { GO_ON: 'closing', DONE: 'closing' },
    },

    reteach: {
      exit: 'dropInner',
      invoke: {
        ...saying((context) =>
          script.reteach(
            context.words,
            reteaching(context),
            needed(context.words.lesson, context.progress.step),
          ),
        ),
        onDone: 'retaught',
      },
      on: { GO_ON: 'retaught', DONE: 'retaught' },
    },
    // Noted when it has been said, so that an interrupted re-teaching is said again.
    retaught: {
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
    },

    handover: {
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
    },

    closing: {
      entry: {
        type: 'tell',
        params: ({ context }) => [{ type: 'step-finished', step: context.progress.step }],
      },
      on: { RECORDED: 'finished' },
      after: { storeStuck: 'finished' },
    },
    finished: { type: 'final' },
  },
});
