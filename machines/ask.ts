import { and, assign, type DoneActorEvent, sendTo, setup } from 'xstate';
import type { EndReason, Heard } from '../src/hearing/types';
import type { VisitFact } from '../src/records/types';
import { type Adjust, adjusted, type Voice } from './pace';
import { sayMachine } from './say';
import { prompt, trouble, type Words, yesNo } from './script';
import type { Home } from './services';
import { type SnapshotOf, silenced } from './snapshot';
import { type TurnOutput, turnMachine } from './turn';
import type { AnswerMode, Meaning, PersonEvent, Timings, TurnRequest } from './types';

export interface AskInput extends Voice {
  home: Home;
  words: Words;
  timings: Timings;
  request: TurnRequest;
  say: string[];
  /** Said in place of it when nothing was heard; without, the question is said again with a lead. */
  sayAgain?: string[];
  /** 'cards': the ear stays closed; buttons and typing answer. */
  mode: AnswerMode;
  typed?: string;
}

/** How a question ended. 'next': the learner wants to go on without answering. */
export type AskOutput =
  | { kind: 'answer'; heard: Heard; mode: 'voice' | 'typed' }
  | { kind: 'yes' }
  | { kind: 'no' }
  | { kind: 'unclear' }
  | { kind: 'next' }
  | { kind: 'cards' };

interface AskContext extends Omit<AskInput, 'typed'> {
  typed: string | null;
  /** Prompts said before the question when it is asked again. */
  lead: string[];
  /** Said once before what is said when the ear is closed. */
  told: string[];
  /** What would help, when the sound of this turn was bad: said in place of lead and question. */
  advice: string[] | null;
  misses: number;
  unclear: number;
  reason: EndReason | null;
  output: AskOutput;
  inner: SnapshotOf | null;
}

type AskEvent =
  | PersonEvent
  | Adjust
  /**
   * From the visit: should this turn bring no answer, this is said when the question is asked again. null: what is
   * neither yes nor no is to be taken as it is.
   */
  | { type: 'ADVISE'; sentences: string[] | null };
type Command = Extract<Meaning, { kind: 'command' }>['command'];

/** A command said aloud acts as the button of the same meaning. */
export const eventOf: Record<Command, PersonEvent['type']> = {
  again: 'AGAIN',
  slower: 'SLOWER',
  faster: 'FASTER',
  louder: 'LOUDER',
  quieter: 'SOFTER',
  yes: 'YES',
  no: 'NO',
  next: 'GO_ON',
  help: 'HELP',
  question: 'ASK',
  where: 'WHERE',
  pause: 'PAUSE',
  stop: 'STOP',
};

const turnOutput = (event: unknown) => (event as DoneActorEvent<TurnOutput>).output;

const commandOf = (event: unknown): Command | null => {
  const output = turnOutput(event);
  return output.kind === 'heard' && output.meaning.kind === 'command' ? output.meaning.command : null;
};

/** Sent from outside the transition, because the visit may stop this machine on hearing it. */
const outside = { delay: 1 };

const notHeard = (step: string, reason: string, detail?: string): VisitFact => ({
  type: 'not-heard',
  step,
  reason,
  ...(detail === undefined ? {} : { detail }),
});

const askSetup = setup({
  types: {} as { context: AskContext; input: AskInput; output: AskOutput; events: AskEvent },
  actors: { turn: turnMachine, say: sayMachine },
  guards: {
    closed: ({ context }) => context.request.kind === 'yes-no' || context.request.kind === 'question',
    yesNo: ({ context }) => context.request.kind === 'yes-no',
  },
  actions: {
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    quiet: assign({ inner: ({ context }) => silenced(context.inner) }),
    adjust: assign(({ event }) => (event.type === 'ADJUST' ? adjusted(event) : {})),
    tell: assign(({ event }) => (event.type === 'ADJUST' ? { told: event.says } : {})),
    yes: assign({ output: { kind: 'yes' } }),
    no: assign({ output: { kind: 'no' } }),
    next: assign({ output: { kind: 'next' } }),
    noteTrouble: sendTo(
      ({ context }) => context.home,
      ({ context, event }) => {
        const output = turnOutput(event);
        return {
          type: 'FACTS',
          facts: [
            notHeard(
              context.request.step,
              output.kind === 'trouble' ? output.reason : 'nothing-heard',
              output.kind === 'heard' ? undefined : output.detail,
            ),
          ],
        };
      },
    ),
  },
  // A command goes to the visit and comes back as a button; without an echo the question is asked again.
  delays: { noEcho: 500 },
});

/** The ear is closed: something is said, and buttons or typing answer. */
const spoken = (itself: string, sentences: (context: AskContext) => string[]) =>
  askSetup.createStateConfig({
    exit: assign({ inner: null, told: [] }),
    invoke: {
      id: 'say',
      src: 'say',
      input: ({ context }) => ({
        home: context.home,
        lead: context.told,
        sentences: sentences(context),
        rate: context.rate,
        volume: context.volume,
        language: context.request.language,
      }),
      onSnapshot: { actions: 'keepInner' },
      onDone: { actions: 'quiet' },
    },
    on: {
      GO_ON: { target: 'answered', actions: 'next' },
      AGAIN: { target: itself, reenter: true },
      ADJUST: { target: itself, reenter: true, actions: ['adjust', 'tell'] },
    },
  });

/**
 * One question, until it has an answer: asks again when nothing came, hands commands and words of distress
 * to the visit, and when listening fails says what can be done instead. Has no dead end: speaking again,
 * cards, typing and the buttons always work.
 */
export const askMachine = askSetup.createMachine({
  id: 'ask',
  context: ({ input: { typed, ...input } }) => ({
    ...input,
    typed: typed ?? null,
    lead: [],
    told: [],
    advice: null,
    misses: 0,
    unclear: 0,
    reason: null,
    output: { kind: 'next' },
    inner: null,
  }),
  output: ({ context }) => context.output,
  initial: 'begin',
  on: {
    ADVISE: {
      actions: assign(({ context, event: { sentences } }) => ({
        advice: sentences,
        unclear: sentences === null ? 1 : context.unclear,
      })),
    },
    USE_CARDS: { target: '.answered', actions: assign({ output: { kind: 'cards' } }) },
    USE_VOICE: { target: '.begin', actions: assign({ mode: 'voice', misses: 0, typed: null }) },
    TYPE: {
      guard: ({ event }) => event.text.trim() !== '',
      target: '.turning',
      actions: assign({ typed: ({ event }) => event.text }),
    },
    YES: { guard: 'yesNo', target: '.answered', actions: 'yes' },
    NO: { guard: 'closed', target: '.answered', actions: 'no' },
    GO_ON: { guard: 'closed', target: '.answered', actions: 'next' },
  },
  states: {
    begin: {
      always: [
        { guard: ({ context }) => context.typed !== null, target: 'turning' },
        { guard: and(['closed', ({ context }) => context.mode === 'cards']), target: 'silent' },
        // Open answers without an ear are the caller's cards.
        {
          guard: ({ context }) => context.mode === 'cards',
          target: 'answered',
          actions: assign({ output: { kind: 'cards' } }),
        },
        { target: 'turning' },
      ],
    },

    turning: {
      exit: assign({ inner: null, typed: null }),
      invoke: {
        id: 'turn',
        src: 'turn',
        input: ({ context }) => ({
          home: context.home,
          timings: context.timings,
          request: context.request,
          say: [...context.lead, ...context.say],
          rate: context.rate,
          volume: context.volume,
          ...(context.typed === null ? {} : { typed: context.typed }),
        }),
        onSnapshot: { actions: 'keepInner' },
        onDone: [
          {
            guard: ({ event }) => event.output.kind === 'heard' && event.output.meaning.kind === 'distress',
            target: 'heeding',
            actions: sendTo(
              ({ context }) => context.home,
              ({ event }) => ({
                type: 'DISTRESS',
                phrase:
                  event.output.kind === 'heard' && event.output.meaning.kind === 'distress'
                    ? event.output.meaning.phrase
                    : '',
              }),
              outside,
            ),
          },
          {
            guard: ({ context, event }) => commandOf(event) === 'yes' && context.request.kind === 'yes-no',
            target: 'answered',
            actions: 'yes',
          },
          {
            guard: ({ context, event }) =>
              commandOf(event) === 'no' &&
              (context.request.kind === 'yes-no' || context.request.kind === 'question'),
            target: 'answered',
            actions: 'no',
          },
          {
            // "Yes, I have a question" is not the question yet.
            guard: ({ context, event }) => commandOf(event) === 'yes' && context.request.kind === 'question',
            target: 'begin',
          },
          { guard: ({ event }) => commandOf(event) === 'next', target: 'answered', actions: 'next' },
          {
            guard: ({ event }) => {
              const command = commandOf(event);
              return command !== null && command !== 'yes' && command !== 'no';
            },
            target: 'heeding',
            actions: sendTo(
              ({ context }) => context.home,
              ({ event }) => ({ type: eventOf[commandOf(event) ?? 'again'] }),
              outside,
            ),
          },
          {
            // Neither yes nor no: ask once more, then let the caller decide.
            guard: ({ context, event }) =>
              event.output.kind === 'heard' && context.request.kind === 'yes-no' && context.unclear === 0,
            target: 'begin',
            actions: assign(({ context: { words, say, advice } }) => ({
              unclear: 1,
              lead: advice === null ? yesNo(words, 'yesOrNo') : [],
              say: advice ?? say,
              advice: null,
            })),
          },
          {
            guard: ({ context, event }) => event.output.kind === 'heard' && context.request.kind === 'yes-no',
            target: 'answered',
            actions: assign({ output: { kind: 'unclear' } }),
          },
          {
            guard: ({ event }) => event.output.kind === 'heard',
            target: 'answered',
            actions: assign({
              output: ({ event: { output } }) =>
                output.kind === 'heard'
                  ? { kind: 'answer', heard: output.heard, mode: output.mode }
                  : { kind: 'next' },
            }),
          },
          {
            guard: ({ context, event }) => event.output.kind === 'nothing-heard' && context.misses === 0,
            target: 'begin',
            actions: [
              'noteTrouble',
              assign(({ context: { words, say, sayAgain, advice } }) => {
                const again = advice ?? sayAgain;
                return {
                  misses: 1,
                  lead: again === undefined ? prompt(words, 'didNotHear') : [],
                  say: again ?? say,
                  advice: null,
                };
              }),
            ],
          },
          {
            target: 'troubled',
            actions: [
              'noteTrouble',
              assign({
                reason: ({ event: { output } }) =>
                  output.kind === 'trouble' ? output.reason : 'nothing-heard',
              }),
            ],
          },
        ],
      },
      on: {
        DONE: { actions: sendTo('turn', { type: 'DONE' }) },
        GO_ON: [
          { guard: 'closed', target: 'answered', actions: 'next' },
          { actions: sendTo('turn', { type: 'GO_ON' }) },
        ],
        AGAIN: { actions: sendTo('turn', { type: 'AGAIN' }) },
        ADJUST: { actions: ['adjust', sendTo('turn', ({ event }) => event)] },
        TYPE: { actions: sendTo('turn', ({ event }) => event) },
      },
    },

    heeding: {
      on: {
        AGAIN: 'begin',
        ADJUST: { target: 'begin', actions: ['adjust', assign({ lead: ({ event }) => event.says })] },
      },
      after: { noEcho: 'begin' },
    },

    // Listening does not work: say so and what to do now.
    troubled: {
      ...spoken('troubled', ({ words, reason }) => trouble(words, reason ?? 'engine-failed')),
      exit: assign({ inner: null, lead: [], told: [] }),
    },

    // The ear stays closed by choice: say the question and wait for a button or for typing.
    silent: spoken('silent', ({ say }) => say),

    answered: { type: 'final' },
  },
});
