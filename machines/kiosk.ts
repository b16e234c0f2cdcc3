import { type AnyActorRef, assign, enqueueActions, setup } from 'xstate';
import { normalVoice } from './pace';
import { sayMachine } from './say';
import { prompt } from './script';
import { innerOf, type SnapshotOf, silenced } from './snapshot';
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
  asking: SnapshotOf | null;
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

const words = ({ visit }: KioskContext) => visit as VisitInput;

/**
 * The kiosk around a visit: idle, start form, visit, and what happens when nobody is there. It asks by sight
 * and sound, any sign extends the time, as often as wanted (WCAG 2.2.1); then it covers the screen, then
 * parks the visit. Nothing is lost by it: a parked visit goes on from its facts.
 */
export const kioskMachine = setup({
  types: {} as { context: KioskContext; input: KioskInput; events: KioskEvent },
  actors: { visit: visitMachine, say: sayMachine },
  guards: { busy: ({ context }) => busy(context.inner) },
  actions: {
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    keepAsking: assign({ asking: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    tellVisit: enqueueActions(({ self, event, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null && event.type === 'PERSON') enqueue.sendTo(inner, event.event);
    }),
    pauseVisit: enqueueActions(({ self, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, { type: 'PAUSE' });
    }),
  },
  delays: {
    inactive: ({ context }) => context.timings.inactive,
    answerWithin: ({ context }) => context.timings.answerWithin,
    parkAfter: ({ context }) => context.timings.parkAfter,
  },
}).createMachine({
  id: 'kiosk',
  context: ({ input }) => ({ ...input, visit: null, inner: null, asking: null }),
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
      exit: assign({ inner: null, asking: null, visit: null }),
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
          // The sign of life counts, and it is not also an answer to the visit.
          on: { PERSON: 'present' },
          exit: assign({ asking: null }),
          // Speaks only while the visit is silent and its ear is closed.
          invoke: {
            id: 'asking',
            src: 'say',
            input: ({ context, self }: { context: KioskContext; self: AnyActorRef }) => ({
              home: self,
              sentences: prompt(words(context), 'stillThere'),
              rate: normalVoice.rate,
              volume: context.inner?.context.volume ?? normalVoice.volume,
              language: words(context).start.language,
            }),
            onSnapshot: { actions: 'keepAsking' },
            onDone: { actions: assign({ asking: ({ context }) => silenced(context.asking) }) },
          },
          after: { answerWithin: 'hidden' },
        },
        // Covered, and the visit paused. It leaves the screen only when all of it is stored.
        hidden: {
          entry: 'pauseVisit',
          on: { PERSON: 'present' },
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
  const screen =
    typeof value === 'string'
      ? value === 'starting'
        ? 'start'
        : (value as KioskScreen)
      : (screens[(value as { visiting: string }).visiting] ?? 'visit');
  const visit = screen === 'visit' || screen === 'still-there' ? visitView(context.inner) : null;
  return { screen, captions: context.asking?.context.sentences ?? [], visit };
};
