import { type AnyActorRef, assign, type DoneActorEvent, enqueueActions, not, setup } from 'xstate';
import type { EngineId } from '../src/hearing/types';
import type { VisitFact } from '../src/records/types';
import type { VoiceId } from '../src/speaking/types';
import { type AskInput, askMachine, eventOf } from './ask';
import {
  type Adjust,
  adjusted,
  faster,
  firstVoice,
  louder,
  loudest,
  slower,
  softer,
  type Voice,
} from './pace';
import { nextStep, outcome, type Place, placeOf, stepProgress } from './progress';
import { sayMachine } from './say';
import * as script from './script';
import { answerQuestion, type Earcon, type HelpCall, type HomeEvent, record } from './services';
import { innerOf, type SnapshotOf, silenced } from './snapshot';
import { adviceOn, advised, inFigures, mostAdvice, type SoundSoFar, spokenAdvice } from './soundCheck';
import { stepMachine } from './step';
import { type TurnOutput, turnMachine } from './turn';
import type { AnswerMode, PersonEvent, TurnRequest, VisitInput } from './types';

export interface VisitContext extends Omit<VisitInput, 'voice'>, Voice, SoundSoFar {
  /** All facts of the visit, past ones first. The one truth about how far it is. */
  facts: VisitFact[];
  /** Facts that are not stored yet, in order; the first `inFlight` are being stored. */
  queue: VisitFact[];
  inFlight: number;
  /** The last try to store failed, or takes too long. */
  storeTrouble: boolean;
  place: Place;
  step: string | null;
  mode: AnswerMode;
  ear: EngineId | null;
  earWhy: string;
  voice: VoiceId | null;
  help: HelpCall | null;
  asked: string;
  says: string[] | null;
  /** Said once before what the visit says itself. */
  told: string[];
  /** The voice was too low in the sound check: tried louder. */
  soundTries: number;
  /** Turns of the sound check whose sound was not fine: after each of the first two we say what would help. */
  soundBad: number;
  inner: SnapshotOf | null;
}

export type VisitEventIn = HomeEvent;

const words = ({ lesson, start }: VisitContext): script.Words => ({ lesson, start });

const asksCloud = (context: VisitContext) => context.askCloud === true && cloudFact(context) === undefined;

const cloudFact = ({ facts }: VisitContext) => facts.findLast((fact) => fact.type === 'cloud-asked');

const saying = (sentences: (context: VisitContext) => string[], volume?: number) => ({
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

const asking =
  (
    step: string,
    kind: TurnRequest['kind'],
    sentences: (context: VisitContext) => string[],
    again?: (context: VisitContext) => string[],
  ) =>
  ({ context, self }: { context: VisitContext; self: AnyActorRef }): AskInput => ({
    home: self,
    words: words(context),
    timings: context.timings,
    request: { kind, language: context.start.language, module: context.start.module, step, concepts: [] },
    say: sentences(context),
    ...(again === undefined ? {} : { sayAgain: again(context) }),
    rate: context.rate,
    volume: context.volume,
    mode: context.mode,
  });

/** Where the visit stands, for "where are we?" */
const whereIs = (context: VisitContext): string[] => {
  const step = context.step ?? nextStep(context.start, context.facts);
  const early = context.place === 'sound-check' || context.place === 'first-question';
  return script.where(
    words(context),
    early ? 'start' : context.place === 'teaching' && step !== null ? { step } : 'end',
  );
};

/** What a person may change about the voice, or ask of it, at any time. */
const aboutVoice = {
  SLOWER: { rate: slower, says: 'slowerNow' },
  FASTER: { rate: faster, says: 'fasterNow' },
  LOUDER: { volume: louder, says: 'louderNow' },
  SOFTER: { volume: softer, says: 'quieterNow' },
} as const;

/** How to speak from now on after such an event, and the word that confirms it. */
const adjustOn = (context: VisitContext, event: { type: string }): Adjust => {
  const { rate, volume } = context;
  const change = aboutVoice[event.type as keyof typeof aboutVoice];
  if (change === undefined) return { type: 'ADJUST', rate, volume, says: whereIs(context) };
  const now = {
    rate: 'rate' in change ? change.rate(rate) : rate,
    volume: 'volume' in change ? change.volume(volume) : volume,
  };
  const same = now.rate === rate && now.volume === volume;
  return {
    type: 'ADJUST',
    ...now,
    says: script.prompt(words(context), same ? 'asFarAsItGoes' : change.says),
  };
};

/** All of these, answered in the same way. */
const onVoice = <const T>(transition: T) => ({
  SLOWER: transition,
  FASTER: transition,
  LOUDER: transition,
  SOFTER: transition,
  WHERE: transition,
});

/** Buttons of a question that the inner `ask` acts upon. */
const buttons = {
  YES: { actions: 'toInner' },
  NO: { actions: 'toInner' },
  GO_ON: { actions: 'toInner' },
  DONE: { actions: 'toInner' },
  TYPE: { actions: 'toInner' },
} as const;

const ofStep = {
  ...buttons,
  CARDS: { actions: 'toInner' },
} as const;

/**
 * The whole visit: sound check, the steps, show-me, summary. Help, pause, stop, a question, again, slower
 * and louder work from anywhere; words of distress interrupt everything. Whatever is interrupted goes on
 * from the facts, the same way as after a crash.
 */
export const visitMachine = setup({
  types: {} as { context: VisitContext; input: VisitInput; events: VisitEventIn },
  actors: { say: sayMachine, turn: turnMachine, ask: askMachine, step: stepMachine, answerQuestion, record },
  guards: {
    goesByEar: ({ context }) => context.start.audioOnly && context.mode === 'voice',
    at: ({ context }, place: Place) => context.place === place,
    stored: ({ context }) => context.queue.length === 0,
    waiting: ({ context }) => context.queue.length > 0,
    asksCloud: ({ context }) => asksCloud(context),
    /** Who does not mean to speak is not asked before speaking is wanted. */
    asksCloudFirst: ({ context }) => asksCloud(context) && context.start.answers !== 'touch',
    /** An interrupted visit that nobody has gone on with yet. */
    interrupted: ({ context: { past, facts } }) =>
      past.length > 0 && !facts.slice(past.length).some((fact) => fact.type === 'resumed'),
  },
  actions: {
    playEarcon: (_, _params: { name: Earcon }) => {},
    /** The ward is called; the app provides how. */
    callStaff: (_, _params: HelpCall) => {},
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    dropInner: assign({ inner: null, told: [] }),
    hush: assign({ told: [] }),
    /** Changes the voice and has the machine inside say so. */
    adjust: enqueueActions(({ self, context, event, enqueue }) => {
      const adjust = adjustOn(context, event);
      enqueue.assign(adjusted(adjust));
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, adjust);
    }),
    /** The same where the visit says all of it once more itself. */
    adjustHere: assign(({ context, event }) => {
      const adjust = adjustOn(context, event);
      return { ...adjusted(adjust), told: adjust.says };
    }),
    quiet: assign({ inner: ({ context }) => silenced(context.inner) }),
    toInner: enqueueActions(({ self, event, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, event);
    }),
    slower: assign({ rate: ({ context }) => slower(context.rate) }),
    louder: assign({ volume: ({ context }) => louder(context.volume) }),
    softer: assign({ volume: ({ context }) => softer(context.volume) }),
    go: assign({ place: (_, place: Place) => place }),
    note: assign({
      facts: ({ context }, facts: VisitFact[]) => [...context.facts, ...facts],
      queue: ({ context }, facts: VisitFact[]) => [...context.queue, ...facts],
    }),
    /** What was said acts as the button of the same meaning. */
    obey: enqueueActions(({ event, enqueue }) => {
      const { output } = event as unknown as DoneActorEvent<TurnOutput>;
      if (output.kind !== 'heard') return;
      const { meaning } = output;
      if (meaning.kind === 'distress') enqueue.raise({ type: 'DISTRESS', phrase: meaning.phrase });
      if (meaning.kind === 'command') enqueue.raise({ type: eventOf[meaning.command] } as PersonEvent);
    }),
    /** An engine's first use, or a change, is a fact as soon as both ear and voice are known. */
    noteEngines: enqueueActions(({ context, event, enqueue }) => {
      const ear = event.type === 'ENGINE' ? event.ear : context.ear;
      const voice = event.type === 'VOICE' ? event.voice : context.voice;
      const why = event.type === 'ENGINE' || event.type === 'VOICE' ? event.why : '';
      if (ear === context.ear && voice === context.voice) return;
      const earWhy = event.type === 'ENGINE' ? why : context.earWhy;
      enqueue.assign({ ear, voice, earWhy });
      if (ear === null || voice === null) return;
      const fact: VisitFact = {
        type: 'engine-chosen',
        ear,
        voice,
        why: event.type === 'VOICE' && context.ear === ear && context.voice !== null ? why : earWhy || why,
      };
      enqueue.assign({
        facts: ({ context: c }) => [...c.facts, fact],
        queue: ({ context: c }) => [...c.queue, fact],
      });
    }),
    /** Should the question be asked again by itself, it is asked with what would help. */
    weigh: enqueueActions(({ self, context, event, enqueue }) => {
      if (event.type !== 'SOUND') return;
      const advice = adviceOn(event.sound);
      enqueue.assign({
        sound: event.sound,
        soundBad: ({ context: c }) => c.soundBad + (advice === null ? 0 : 1),
      });
      const inner = innerOf(self);
      if (advice === null || inner === null) return;
      const sentences = context.soundBad < mostAdvice ? script.yesNo(words(context), advice) : null;
      enqueue.sendTo(inner, { type: 'ADVISE', sentences });
    }),
    tellStored: enqueueActions(({ self, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, { type: 'RECORDED' });
    }),
  },
  delays: {
    storeAgain: 3000,
    /** Own choice. */
    callAgain: 20_000,
    storeStuck: ({ context }) => context.timings.engineStuck,
    answerStuck: ({ context }) => context.timings.engineStuck,
  },
}).createMachine({
  id: 'visit',
  type: 'parallel',
  context: ({ input: { voice, ...input } }) => ({
    ...input,
    ...(voice ?? firstVoice(input.start)),
    facts: input.past,
    queue: [],
    inFlight: 0,
    storeTrouble: false,
    place: placeOf(input.lesson, input.start, []),
    step: null,
    mode: input.start.answers === 'touch' ? 'cards' : 'voice',
    ear: null,
    earWhy: '',
    voice: null,
    help: null,
    asked: '',
    says: null,
    told: [],
    soundTries: 0,
    sound: null,
    soundBad: 0,
    soundLead: null,
    inner: null,
  }),
  states: {
    // Stores facts in order, one batch at a time, and keeps what could not be stored.
    store: {
      initial: 'idle',
      states: {
        idle: { always: { guard: 'waiting', target: 'writing' } },
        writing: {
          entry: assign({ inFlight: ({ context }) => context.queue.length }),
          invoke: {
            src: 'record',
            input: ({ context }) => context.queue,
            onDone: [
              {
                guard: ({ context }) => context.queue.length > context.inFlight,
                target: 'writing',
                reenter: true,
                actions: assign({
                  queue: ({ context }) => context.queue.slice(context.inFlight),
                  storeTrouble: false,
                }),
              },
              {
                target: 'idle',
                actions: [assign({ queue: [], inFlight: 0, storeTrouble: false }), 'tellStored'],
              },
            ],
            onError: {
              target: 'failed',
              actions: [assign({ inFlight: 0, storeTrouble: true }), 'tellStored'],
            },
          },
          after: { storeStuck: { actions: assign({ storeTrouble: true }) } },
        },
        failed: { after: { storeAgain: 'writing' } },
      },
    },

    flow: {
      initial: 'begin',
      on: {
        FACTS: { actions: { type: 'note', params: ({ event }) => event.facts } },
        VOICE: { actions: 'noteEngines' },
        ENGINE: { actions: 'noteEngines' },
        DISTRESS: {
          target: '.help',
          actions: assign({ help: ({ event }) => ({ by: 'distress', text: event.phrase }) }),
        },
        HELP: {
          target: '.help',
          actions: assign({ help: { by: 'learner', text: '' } }),
        },
        PAUSE: '.paused',
        STOP: '.paused',
        ...onVoice({ actions: 'adjust' }),
        AGAIN: { actions: 'toInner' },
        USE_CARDS: { actions: [assign({ mode: 'cards' }), 'toInner'] },
        // Not before the learner has answered whether the only ear there is may be used.
        USE_VOICE: { guard: not('asksCloud'), actions: [assign({ mode: 'voice' }), 'toInner'] },
      },
      states: {
        begin: {
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
        },

        begun: {
          always: [
            { guard: 'asksCloudFirst', target: 'cloud' },
            { guard: 'interrupted', target: 'resume' },
            { target: 'main' },
          ],
        },

        // The ear stays closed until there is an answer by hand.
        cloud: {
          entry: assign({ mode: 'cards' }),
          exit: 'dropInner',
          on: { YES: { actions: 'toInner' }, NO: { actions: 'toInner' }, USE_CARDS: {} },
          invoke: {
            id: 'inner',
            src: 'ask',
            input: asking('cloud', 'yes-no', (c) => script.cloud(words(c))),
            onSnapshot: { actions: 'keepInner' },
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
        },

        resume: {
          exit: 'dropInner',
          on: buttons,
          invoke: {
            id: 'inner',
            src: 'ask',
            input: asking('resume', 'yes-no', (c) => script.yesNo(words(c), 'shallWeGoOn')),
            onSnapshot: { actions: 'keepInner' },
            onDone: [
              { guard: ({ event }) => event.output.kind === 'no', target: 'paused' },
              { target: 'main', actions: { type: 'note', params: [{ type: 'resumed' }] } },
            ],
          },
        },

        main: {
          initial: 'choose',
          on: {
            ASK: 'question',
            USE_VOICE: [
              { guard: 'asksCloud', target: '#visit.flow.cloud' },
              { actions: [assign({ mode: 'voice' }), 'toInner'] },
            ],
          },
          states: {
            choose: {
              always: [
                { guard: 'asksCloudFirst', target: '#visit.flow.begun' },
                { guard: { type: 'at', params: 'sound-check' }, target: 'soundCheck' },
                { guard: { type: 'at', params: 'first-question' }, target: 'firstQuestion' },
                { guard: { type: 'at', params: 'teaching' }, target: 'teaching' },
                { guard: { type: 'at', params: 'show-me' }, target: 'showMe' },
                { guard: { type: 'at', params: 'summary' }, target: 'summary' },
                { guard: { type: 'at', params: 'any-question' }, target: 'anyQuestion' },
                { target: '#visit.flow.ended' },
              ],
            },

            soundCheck: {
              entry: assign({ sound: null }),
              exit: 'dropInner',
              on: {
                ...buttons,
                SOUND: { actions: 'weigh' },
              },
              invoke: {
                id: 'inner',
                src: 'ask',
                input: asking(
                  'sound-check',
                  'yes-no',
                  (c) =>
                    c.soundLead === null
                      ? script.welcome(words(c), cloudFact(c)?.agreed)
                      : script.yesNo(words(c), c.soundLead),
                  (c) => script.yesNo(words(c), 'soundCheckAgain'),
                ),
                onSnapshot: { actions: 'keepInner' },
                onDone: [
                  {
                    guard: ({ context, event }) =>
                      event.output.kind === 'no' && context.soundTries < 2 && !advised(context),
                    target: 'soundCheck',
                    reenter: true,
                    actions: [
                      'louder',
                      'slower',
                      assign({
                        soundTries: ({ context }) => context.soundTries + 1,
                        soundLead: 'soundCheckLouder',
                      }),
                    ],
                  },
                  {
                    // Heard, but not well: say what would help, and listen once more.
                    guard: ({ context, event }) =>
                      ['yes', 'unclear'].includes(event.output.kind) &&
                      spokenAdvice(context) !== null &&
                      context.soundBad <= mostAdvice,
                    target: 'soundCheck',
                    reenter: true,
                    actions: assign({ soundLead: ({ context }) => spokenAdvice(context) }),
                  },
                  {
                    guard: ({ context, event }) =>
                      ['yes', 'unclear'].includes(event.output.kind) && spokenAdvice(context) !== null,
                    target: 'soundFine',
                    actions: {
                      type: 'note',
                      params: ({ context }) => [
                        {
                          type: 'sound-checked',
                          ok: false,
                          detail: `went on: ${context.sound?.verdict}${inFigures(context)}`,
                        },
                      ],
                    },
                  },
                  {
                    // Yes, or any words: both ears work.
                    guard: ({ event }) => ['yes', 'unclear'].includes(event.output.kind),
                    target: 'soundFine',
                    actions: {
                      type: 'note',
                      params: ({ context, event }) => [
                        {
                          type: 'sound-checked',
                          ok: true,
                          detail: `${event.output.kind}; volume ${context.volume}, rate ${context.rate}${inFigures(context)}`,
                        },
                      ],
                    },
                  },
                  {
                    target: 'choose',
                    actions: [
                      {
                        type: 'note',
                        params: ({ event }) => [
                          {
                            type: 'sound-checked',
                            ok: false,
                            detail: `went on: ${event.output.kind}`,
                          },
                        ],
                      },
                      { type: 'go', params: 'first-question' },
                    ],
                  },
                ],
              },
            },
            soundFine: {
              entry: { type: 'go', params: 'first-question' },
              exit: 'dropInner',
              invoke: {
                ...saying((c) =>
                  script.prompt(words(c), spokenAdvice(c) === null ? 'soundCheckFine' : 'soundCheckGoOn'),
                ),
                onDone: 'choose',
              },
              on: { GO_ON: 'choose', DONE: 'choose' },
            },

            firstQuestion: {
              exit: 'dropInner',
              on: buttons,
              invoke: {
                id: 'inner',
                src: 'ask',
                input: asking(
                  'first-question',
                  'yes-no',
                  (c) => script.firstQuestion(words(c)),
                  (c) => script.yesNo(words(c), 'questionsFirst'),
                ),
                onSnapshot: { actions: 'keepInner' },
                onDone: [
                  {
                    guard: ({ event }) => event.output.kind === 'yes',
                    target: '#visit.flow.question',
                  },
                  { target: 'teaching' },
                ],
              },
            },

            teaching: {
              entry: [
                { type: 'go', params: 'teaching' },
                assign({ step: ({ context }) => nextStep(context.start, context.facts) }),
              ],
              exit: 'dropInner',
              initial: 'choose',
              states: {
                choose: {
                  always: [
                    { guard: ({ context }) => context.step === null, target: '#visit.flow.main.showMe' },
                    { target: 'step' },
                  ],
                },
                step: {
                  on: ofStep,
                  invoke: {
                    id: 'inner',
                    src: 'step',
                    input: ({ context, self }) => ({
                      home: self,
                      words: words(context),
                      timings: context.timings,
                      mode: context.mode,
                      rate: context.rate,
                      volume: context.volume,
                      progress: stepProgress(context.lesson, context.facts, context.step ?? ''),
                    }),
                    onSnapshot: { actions: 'keepInner' },
                    onDone: { target: '#visit.flow.main.teaching', reenter: true },
                  },
                },
              },
            },

            showMe: {
              entry: { type: 'go', params: 'show-me' },
              exit: 'dropInner',
              always: {
                guard: ({ context }) => context.lesson.module.showMe.length === 0,
                target: 'summary',
              },
              invoke: {
                ...saying((c) => script.showMe(words(c))),
                onDone: { actions: 'quiet' },
              },
              on: {
                GO_ON: 'summary',
                AGAIN: { target: 'showMe', reenter: true },
                ...onVoice({ target: 'showMe', reenter: true, actions: 'adjustHere' }),
                SHOWN: {
                  actions: {
                    type: 'note',
                    params: ({ event }) => [{ type: 'show-me', point: event.point, shown: event.shown }],
                  },
                },
              },
            },

            summary: {
              entry: { type: 'go', params: 'summary' },
              exit: 'dropInner',
              invoke: {
                ...saying((c) => {
                  const { understood, handedOver } = outcome(c.lesson, c.start, c.facts);
                  return script.summary(words(c), understood, handedOver);
                }),
                onDone: 'anyQuestion',
              },
              on: { GO_ON: 'anyQuestion' },
            },
            // Another question, or the end.
            anyQuestion: {
              entry: { type: 'go', params: 'any-question' },
              exit: 'dropInner',
              on: {
                ...buttons,
                AGAIN: 'summary',
              },
              invoke: {
                id: 'inner',
                src: 'ask',
                input: asking('any-question', 'yes-no', (c) => script.yesNo(words(c), 'anyQuestion')),
                onSnapshot: { actions: 'keepInner' },
                onDone: [
                  {
                    guard: ({ event }) => event.output.kind === 'yes',
                    target: '#visit.flow.question',
                  },
                  {
                    target: '#visit.flow.ended',
                    actions: [
                      { type: 'note', params: [{ type: 'finished', how: 'completed' }] },
                      { type: 'go', params: 'ended' },
                    ],
                  },
                ],
              },
            },
          },
        },

        // The learner asks. Approved answers are said; anything else is kept for a person.
        question: {
          initial: 'asking',
          exit: 'dropInner',
          states: {
            asking: {
              exit: 'dropInner',
              on: buttons,
              invoke: {
                id: 'inner',
                src: 'ask',
                input: asking('question', 'question', (c) => script.prompt(words(c), 'questionPlease')),
                onSnapshot: { actions: 'keepInner' },
                onDone: [
                  {
                    guard: ({ event }) => event.output.kind === 'answer',
                    target: 'looking',
                    actions: assign({
                      asked: ({ event }) => (event.output.kind === 'answer' ? event.output.heard.text : ''),
                      says: null,
                    }),
                  },
                  { target: '#visit.flow.main' },
                ],
              },
            },
            looking: {
              invoke: {
                src: 'answerQuestion',
                input: ({ context }) => ({
                  module: context.start.module,
                  language: context.start.language,
                  text: context.asked,
                }),
                onDone: {
                  target: 'answer',
                  actions: [
                    assign({ says: ({ event }) => event.output?.says ?? null }),
                    {
                      type: 'note',
                      params: ({ context, event }) => [
                        { type: 'question', text: context.asked, answer: event.output?.id ?? null },
                      ],
                    },
                  ],
                },
                onError: {
                  target: 'answer',
                  actions: { type: 'note', params: ({ context }) => kept(context) },
                },
              },
              after: {
                answerStuck: {
                  target: 'answer',
                  actions: { type: 'note', params: ({ context }) => kept(context) },
                },
              },
            },
            answer: {
              exit: 'dropInner',
              invoke: {
                ...saying((c) => script.answer(words(c), c.says)),
                onDone: '#visit.flow.main',
              },
              on: { GO_ON: '#visit.flow.main', DONE: '#visit.flow.main', ASK: 'asking' },
            },
          },
        },

        help: {
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
        },
        helpOver: {
          entry: assign({ help: null }),
          exit: 'dropInner',
          invoke: { ...saying((c) => script.prompt(words(c), 'helpOver')), onDone: 'main' },
          on: { GO_ON: 'main', YES: 'main', HELP_OVER: 'main' },
        },

        paused: {
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
                  params: ({ context }) =>
                    isFinished(context) ? [] : [{ type: 'finished', how: 'stopped' }],
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
        },

        ended: {
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
        },
      },
    },
  },
});

const kept = ({ asked }: VisitContext): VisitFact[] => [{ type: 'question', text: asked, answer: null }];

const isFinished = ({ facts }: VisitContext): boolean => facts.some((f) => f.type === 'finished');

const stoppedEarly = ({ facts }: VisitContext) =>
  facts.some((f) => f.type === 'finished' && f.how === 'stopped');

const whyPaused = (event: string) =>
  event === 'STOP' ? 'stop asked for' : event === 'PAUSE' ? 'pause asked for' : 'not ready to go on';
