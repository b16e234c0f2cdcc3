import { assign, emit, setup } from 'xstate';

/** Milliseconds. site.json may change it. */
export interface ScanTimings {
  /** How long each thing on the screen is pointed at, for those who press one switch. */
  scanItem: number;
  /**
   * After a choice, and on a new screen, presses count for nothing for so long: a press that comes late, or twice,
   * must not choose what has just appeared.
   */
  scanSettles: number;
}

export interface ScanInput {
  /** 'one': the pointer moves by itself and the switch chooses; 'two': one switch moves it, the other chooses. */
  keys: 'one' | 'two';
  /** Milliseconds for each thing, and before presses count: see ScanTimings. */
  each: number;
  settles: number;
  /** Each thing is said aloud when it is pointed at; its time begins when it has been said. */
  named: boolean;
}

interface ScanContext extends ScanInput {
  /** How many things there are, in reading order. */
  count: number;
  /** The one that is pointed at; null: none. */
  index: number | null;
  /** Times that all of them went by without a choice. */
  rounds: number;
}

export type ScanEvent =
  /** Other things are there. `index`: where the one that was pointed at stands now; null: it is gone. */
  | { type: 'ITEMS'; count: number; index: number | null }
  | { type: 'NEXT' }
  | { type: 'CHOOSE' }
  /** The name has been said. */
  | { type: 'NAMED' }
  | { type: 'EACH'; each: number }
  /** Who goes by ear: the kiosk speaks or listens, so nothing may be named. FREE: it is silent. */
  | { type: 'HOLD' }
  | { type: 'FREE' };

/** 'main': a press while the kiosk speaks or listens is the one big button, as the space bar always is. */
export type ScanEmitted = { type: 'chosen'; index: number } | { type: 'main' };

/** Rounds without a choice, after which the pointer rests until a press: common practice of communication aids. */
export const mostRounds = 3;

/**
 * Switch scanning: things on the screen are pointed at one after the other, and a press chooses. Knows nothing of
 * the screen: it is told how many things there are, and emits which was chosen.
 */
export const scanMachine = setup({
  types: {} as { context: ScanContext; input: ScanInput; events: ScanEvent; emitted: ScanEmitted },
  guards: {
    byItself: ({ context }) => context.keys === 'one',
    named: ({ context }) => context.named,
    nothing: ({ context }) => context.count === 0,
    lastRound: ({ context: { index, count, rounds } }) => index === count - 1 && rounds + 1 >= mostRounds,
    isGone: ({ event }) => event.type === 'ITEMS' && event.index === null,
  },
  actions: {
    first: assign({ index: 0, rounds: 0 }),
    none: assign({ index: null, rounds: 0 }),
    take: assign(({ event }) => (event.type === 'ITEMS' ? { count: event.count, index: event.index } : {})),
    onward: assign(({ context: { index, count, rounds } }) =>
      index === count - 1 ? { index: 0, rounds: rounds + 1 } : { index: (index ?? -1) + 1, rounds },
    ),
    chosen: emit(({ context }) => ({ type: 'chosen' as const, index: context.index ?? 0 })),
    main: emit({ type: 'main' }),
    forgetRounds: assign({ rounds: 0 }),
  },
  delays: {
    each: ({ context }) => context.each,
    settles: ({ context }) => context.settles,
    namedAtLast: 8000,
  },
}).createMachine({
  id: 'scan',
  context: ({ input }) => ({ ...input, count: 0, index: null, rounds: 0 }),
  initial: 'resting',
  on: {
    EACH: { actions: assign({ each: ({ event }) => event.each }) },
    HOLD: { target: '.held', actions: 'none' },
    ITEMS: [{ guard: 'isGone', target: '.arriving', actions: 'take' }, { actions: 'take' }],
  },
  states: {
    resting: {
      on: {
        CHOOSE: { target: 'pointing', actions: 'first' },
        NEXT: { target: 'pointing', actions: 'first' },
      },
    },
    held: {
      on: { HOLD: {}, ITEMS: { actions: 'take' }, FREE: 'arriving', CHOOSE: { actions: 'main' } },
    },
    arriving: {
      after: { settles: { target: 'pointing', actions: 'first' } },
    },
    pointing: {
      always: { guard: 'nothing', target: 'resting', actions: 'none' },
      initial: 'begin',
      on: {
        CHOOSE: { target: 'chosen', actions: 'chosen' },
        NEXT: { target: '.begin', actions: 'onward' },
      },
      states: {
        begin: { always: [{ guard: 'named', target: 'naming' }, { target: 'dwelling' }] },
        naming: { on: { NAMED: 'dwelling' }, after: { namedAtLast: 'dwelling' } },
        dwelling: {
          after: {
            each: [
              { guard: ({ context }) => context.keys === 'two' },
              { guard: 'lastRound', target: '#scan.resting', actions: 'none' },
              { target: 'begin', actions: 'onward' },
            ],
          },
        },
      },
    },
    // Points where it was: a card can be taken back, or the next one chosen.
    chosen: {
      entry: 'forgetRounds',
      after: { settles: 'pointing.dwelling' },
    },
  },
});
