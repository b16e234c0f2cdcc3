import { type AnyActorRef, assign, type DoneActorEvent, enqueueActions, setup } from 'xstate';
import { eventOf } from './ask';
import { normalVoice, readingTime } from './pace';
import { sayMachine } from './say';
import { prompt } from './script';
import { innerOf, type SnapshotOf } from './snapshot';
import { type TurnOutput, turnMachine } from './turn';
import type { PersonEvent, VisitInput, VisitView } from './types';
import { viewOf } from './view';
import { visitMachine } from './visit';

/** Milliseconds. site.json may change each. */
export interface KioskTimings {
  /** No touch, no word and no sound for so long: "are you still there?" */
  inactive: number;
  /** No answer to that: the screen is covered. */
  answerWithin: number;
  /** Still nothing: the visit is parked for staff. */
  parkAfter: number;
}

export interface KioskInput {
  timings: KioskTimings;
}

interface KioskContext extends KioskInput {
  visit: VisitInput | null;
  /** Snapshot of the visit that runs. */
  inner: SnapshotOf | null;
  /** Shown when the visit is parked; kept apart, because nothing else of the visit stays. */
  parkedSays: string[];
}

export type KioskEvent =
  | { type: 'STAFF' } // opens the start form
  | { type: 'CANCEL' } // closes it
  | { type: 'START'; visit: VisitInput }
  | { type: 'PRESENT' } // any touch or key
  | { type: 'WIPE' } // staff end the visit's stay on the screen
  | { type: 'PERSON'; event: PersonEvent };

export type KioskScreen = 'idle' | 'start' | 'visit' | 'still-there' | 'hidden' | 'parked';

export interface KioskView {
  screen: KioskScreen;
  /** What the kiosk itself says over the visit. */
  captions: string[];
  visit: VisitView | null;
}

const visitView = (inner: SnapshotOf | null): VisitView | null =>
  inner && viewOf(inner as unknown as Parameters<typeof viewOf>[0]);

/** Something is going on, or help is on its way: no time to ask whether somebody is there. */
const busy = (inner: SnapshotOf | null): boolean => {
  const view = visitView(inner);
  return view !== null && (view.speaking >= 0 || view.listening !== 'off' || view.screen === 'help');
};

const stillThere = (context: KioskContext) => prompt(words(context), 'stillThere');

const words = ({ visit }: KioskContext) => visit as VisitInput;

const byEar = (context: KioskContext) => words(context).start.audioOnly;

/** An answer to "are you still there?", and nothing besides. */
const signsOfLife = new Set<string>(['yes', 'no', 'pause', 'stop']);

/**
 * The kiosk around a visit: idle, start form, visit, and what happens when nobody is there. It asks by sight
 * and sound, any sign extends the time, as often as wanted (WCAG 2.2.1); then it covers the screen, then
 * parks the visit. Nothing is lost by it: a parked visit goes on from its facts.
 */
export const kioskMachine = setup({
  types: {} as { context: KioskContext; input: KioskInput; events: KioskEvent },
  actors: { visit: visitMachine, say: sayMachine, turn: turnMachine },
  guards: {
    busy: ({ context }) => busy(context.inner),
    callsHelp: ({ event }) => event.type === 'PERSON' && event.event.type === 'HELP',
  },
  actions: {
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    tellVisit: enqueueActions(({ self, event, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null && event.type === 'PERSON') enqueue.sendTo(inner, event.event);
    }),
    /** Words of distress count here as well, and what can be asked for at any time. */
    passOn: enqueueActions(({ self, context, event, enqueue }) => {
      const inner = innerOf(self);
      const { output } = event as unknown as DoneActorEvent<TurnOutput>;
      if (inner === null || output.kind !== 'heard') return;
      const { meaning } = output;
      if (meaning.kind === 'distress') enqueue.sendTo(inner, { type: 'DISTRESS', phrase: meaning.phrase });
      else if (meaning.kind === 'command' && !signsOfLife.has(meaning.command))
        enqueue.sendTo(inner, { type: eventOf[meaning.command] });
      else if (byEar(context)) enqueue.sendTo(inner, { type: 'AGAIN' });
    }),
    /** Who cannot see where the visit stands is told once more. */
    tellWhere: enqueueActions(({ self, context, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null && byEar(context)) enqueue.sendTo(inner, { type: 'AGAIN' });
    }),
    pauseVisit: enqueueActions(({ self, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, { type: 'PAUSE' });
    }),
  },
  delays: {
    inactive: ({ context }) => context.timings.inactive,
    // From the end of the question; to say it takes no longer than to read it slowly.
    answerWithin: ({ context }) => context.timings.answerWithin + readingTime(stillThere(context)),
    askAgain: 8000,
    parkAfter: ({ context }) => context.timings.parkAfter,
  },
}).createMachine({
  id: 'kiosk',
  context: ({ input }) => ({ ...input, visit: null, inner: null, parkedSays: [] }),
  initial: 'idle',
  states: {
    idle: { on: { STAFF: 'starting' } },
    starting: {
      on: {
        CANCEL: 'idle',
        START: { target: 'visiting', actions: assign({ visit: ({ event }) => event.visit }) },
      },
    },
    visiting: {
      exit: assign({ inner: null, visit: null }),
      invoke: {
        id: 'inner',
        src: 'visit',
        input: ({ context }) => words(context),
        onSnapshot: { actions: 'keepInner' },
      },
      on: {
        WIPE: 'idle',
        PERSON: { target: '.present', actions: 'tellVisit' },
        PRESENT: '.present',
      },
      initial: 'present',
      states: {
        present: {
          after: {
            inactive: [{ guard: 'busy', target: 'present', reenter: true }, { target: 'asking' }],
          },
        },
        asking: {
          // A sign of life, and not also an answer to the visit; but a call for help is one.
          on: {
            PERSON: [
              { guard: 'callsHelp', target: 'present', actions: 'tellVisit' },
              { target: 'present', actions: 'tellWhere' },
            ],
            PRESENT: { target: 'present', actions: 'tellWhere' },
          },
          // Only while the visit is silent and its ear is closed. Any word is a sign of life.
          initial: 'choose',
          states: {
            choose: {
              always: [
                { guard: ({ context }) => context.inner?.context.mode === 'cards', target: 'saying' },
                { target: 'hearing' },
              ],
            },
            saying: {
              invoke: {
                id: 'asking',
                src: 'say',
                input: ({ context, self }: { context: KioskContext; self: AnyActorRef }) => ({
                  home: self,
                  sentences: stillThere(context),
                  rate: context.inner?.context.rate ?? normalVoice.rate,
                  volume: context.inner?.context.volume ?? normalVoice.volume,
                  language: words(context).start.language,
                }),
                onDone: 'waiting',
              },
            },
            hearing: {
              invoke: {
                id: 'asking',
                src: 'turn',
                input: ({ context, self }: { context: KioskContext; self: AnyActorRef }) => ({
                  home: self,
                  timings: words(context).timings,
                  request: {
                    kind: 'yes-no' as const,
                    language: words(context).start.language,
                    module: words(context).start.module,
                    step: 'still-there',
                    concepts: [],
                  },
                  say: stillThere(context),
                  rate: context.inner?.context.rate ?? normalVoice.rate,
                  volume: context.inner?.context.volume ?? normalVoice.volume,
                }),
                onDone: [
                  {
                    guard: ({ event }) => event.output.kind === 'heard',
                    target: '#kiosk.visiting.present',
                    actions: 'passOn',
                  },
                  { target: 'waiting' },
                ],
              },
            },
            // Asked again and again, for whoever was not heard at first.
            waiting: { after: { askAgain: 'choose' } },
          },
          after: { answerWithin: 'hidden' },
        },
        // Covered, and the visit paused. It leaves the screen only when all of it is stored.
        hidden: {
          entry: ['pauseVisit', assign({ parkedSays: ({ context }) => prompt(words(context), 'parked') })],
          on: {
            PERSON: [
              { guard: 'callsHelp', target: 'present', actions: 'tellVisit' },
              { target: 'present', actions: 'tellWhere' },
            ],
            PRESENT: { target: 'present', actions: 'tellWhere' },
          },
          after: {
            parkAfter: [
              { guard: ({ context }) => context.inner?.context.queue.length === 0, target: '#kiosk.parked' },
              { target: 'hidden', reenter: true },
            ],
          },
        },
      },
    },
    /** The visit waits in the store; staff go on with it by START with its facts. */
    parked: {
      on: {
        STAFF: 'starting',
        START: { target: 'visiting', actions: assign({ visit: ({ event }) => event.visit }) },
      },
    },
  },
});

const screens: Record<string, KioskScreen> = {
  present: 'visit',
  asking: 'still-there',
  hidden: 'hidden',
};

/** What the kiosk shows. A covered screen shows nothing of the visit. */
export const kioskViewOf = (snapshot: { value: unknown; context: KioskContext }): KioskView => {
  const { value, context } = snapshot;
  const visiting = (value as { visiting?: unknown }).visiting;
  const screen =
    typeof value === 'string'
      ? value === 'starting'
        ? 'start'
        : (value as KioskScreen)
      : (screens[typeof visiting === 'string' ? visiting : 'asking'] ?? 'visit');
  const visit = screen === 'visit' || screen === 'still-there' ? visitView(context.inner) : null;
  return {
    screen,
    captions:
      screen === 'still-there'
        ? stillThere(context)
        : screen === 'hidden'
          ? prompt(words(context), 'screenHidden')
          : screen === 'parked'
            ? context.parkedSays
            : [],
    visit,
  };
};
