import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createActor, SimulatedClock } from 'xstate';
import {
  mostRounds,
  type ScanEmitted,
  type ScanEvent,
  type ScanInput,
  scanMachine,
} from '../../machines/scan';

const each = 200;
const settles = 80;

/** A screen with `count` things that has settled. */
function scan(input: Partial<ScanInput> = {}, count = 4) {
  const clock = new SimulatedClock();
  const actor = createActor(scanMachine, {
    input: { keys: 'one', each, settles, named: false, ...input },
    clock,
  });
  const emitted: ScanEmitted[] = [];
  actor.on('*', (event) => emitted.push(event));
  actor.start();
  actor.send({ type: 'ITEMS', count, index: null });
  clock.increment(settles);
  return {
    actor,
    emitted,
    at: () => actor.getSnapshot().context.index,
    // Step by step: a timer that ends starts the next one.
    wait: (ms: number) => {
      for (let i = 0; i < ms; i++) clock.increment(1);
    },
    press: () => actor.send({ type: 'CHOOSE' }),
    next: () => actor.send({ type: 'NEXT' }),
  };
}

describe('one switch', () => {
  test('points at one thing after the other, each for its time, and begins anew after the last', () => {
    const s = scan();
    const seen = Array.from({ length: 6 }, () => {
      const now = s.at();
      s.wait(each);
      return now;
    });
    expect(seen).toEqual([0, 1, 2, 3, 0, 1]);
    s.wait(each - 1);
    expect(s.at()).toBe(2);
  });

  test('a press chooses what is pointed at', () => {
    const s = scan();
    s.wait(each * 2);
    s.press();
    expect(s.emitted).toEqual([{ type: 'chosen', index: 2 }]);
  });

  test('a second press at once chooses nothing more', () => {
    const s = scan();
    s.press();
    s.wait(settles - 1);
    s.press();
    s.next();
    expect(s.emitted).toHaveLength(1);
    s.wait(1);
    s.press();
    expect(s.emitted).toHaveLength(2);
  });

  test('on a new screen nothing is pointed at or chosen before one has had time to see it', () => {
    const s = scan();
    s.wait(each);
    s.actor.send({ type: 'ITEMS', count: 3, index: null });
    expect(s.at()).toBe(null);
    s.press();
    s.wait(settles - 1);
    s.press();
    expect(s.emitted).toEqual([]);
    s.wait(1);
    expect(s.at()).toBe(0);
  });

  test('goes on where it was when things come or go beside what is pointed at', () => {
    const s = scan();
    s.wait(each * 2);
    s.press();
    s.actor.send({ type: 'ITEMS', count: 5, index: 2 });
    s.wait(settles);
    expect(s.at()).toBe(2);
    s.wait(each);
    expect(s.at()).toBe(3);
  });

  test(`rests after ${mostRounds} rounds without a choice, and the press that wakes it chooses nothing`, () => {
    const s = scan();
    s.wait(each * 4 * mostRounds - 1);
    expect(s.at()).toBe(3);
    s.wait(1);
    expect(s.at()).toBe(null);
    s.wait(each * 100);
    expect(s.at()).toBe(null);
    s.press();
    expect(s.emitted).toEqual([]);
    expect(s.at()).toBe(0);
    s.wait(each * 4 * mostRounds);
    expect(s.at()).toBe(null);
  });

  test('a choice counts its rounds anew', () => {
    const s = scan();
    s.wait(each * 4 * (mostRounds - 1));
    s.press();
    s.wait(settles + each * 4 * (mostRounds - 1));
    expect(s.at()).not.toBe(null);
  });

  test('can be slower from the next thing on', () => {
    const s = scan();
    s.actor.send({ type: 'EACH', each: 500 });
    s.wait(each);
    expect(s.at()).toBe(1);
    s.wait(499);
    expect(s.at()).toBe(1);
    s.wait(1);
    expect(s.at()).toBe(2);
  });

  test('rests where there is nothing to choose', () => {
    const s = scan({}, 0);
    expect(s.at()).toBe(null);
    s.press();
    expect(s.at()).toBe(null);
    expect(s.emitted).toEqual([]);
  });
});

describe('two switches', () => {
  test('one moves, the other chooses, and nothing moves by itself', () => {
    const s = scan({ keys: 'two' });
    s.wait(each * 100);
    expect(s.at()).toBe(0);
    s.next();
    s.next();
    expect(s.at()).toBe(2);
    s.press();
    expect(s.emitted).toEqual([{ type: 'chosen', index: 2 }]);
    s.wait(settles);
    s.next();
    s.next();
    expect(s.at()).toBe(0);
  });

  test('never rest', () => {
    const s = scan({ keys: 'two' });
    for (let i = 0; i < 4 * mostRounds * 2; i++) s.next();
    expect(s.at()).toBe(0);
  });
});

describe('by ear', () => {
  test('the time of a thing begins when its name has been said', () => {
    const s = scan({ named: true });
    s.wait(each * 3);
    expect(s.at()).toBe(0);
    s.actor.send({ type: 'NAMED' });
    s.wait(each - 1);
    expect(s.at()).toBe(0);
    s.wait(1);
    expect(s.at()).toBe(1);
  });

  test('a voice that says nothing does not hold it up for ever', () => {
    const s = scan({ named: true });
    s.wait(8000);
    s.wait(each);
    expect(s.at()).toBe(1);
  });

  test('while the kiosk speaks or listens nothing is pointed at, and a press is the one big button', () => {
    const s = scan({ named: true });
    s.actor.send({ type: 'HOLD' });
    s.actor.send({ type: 'ITEMS', count: 2, index: null });
    s.wait(60_000);
    expect(s.at()).toBe(null);
    s.press();
    expect(s.emitted).toEqual([{ type: 'main' }]);
    s.actor.send({ type: 'FREE' });
    s.wait(settles);
    expect(s.at()).toBe(0);
  });
});

const happening = fc.oneof(
  fc.constantFrom<ScanEvent>(
    { type: 'NEXT' },
    { type: 'CHOOSE' },
    { type: 'NAMED' },
    { type: 'HOLD' },
    { type: 'FREE' },
  ),
  fc
    .tuple(fc.nat(5), fc.nat(5), fc.boolean())
    .map(
      ([count, at, gone]): ScanEvent => ({ type: 'ITEMS', count, index: gone || at >= count ? null : at }),
    ),
  fc.nat(400),
);

test('whatever happens, it points at what is there, chooses only that, and a press brings it back', () => {
  fc.assert(
    fc.property(
      fc.array(happening, { maxLength: 60 }),
      fc.constantFrom('one' as const, 'two' as const),
      fc.boolean(),
      (series, keys, named) => {
        const s = scan({ keys, named });
        let count = 4;
        for (const one of series) {
          const before = s.emitted.length;
          const was = s.at();
          if (typeof one === 'number') s.wait(one);
          else {
            if (one.type === 'ITEMS') count = one.count;
            s.actor.send(one);
          }
          const at = s.at();
          if (at !== null) expect(at).toBeLessThan(count);
          for (const emitted of s.emitted.slice(before))
            if (emitted.type === 'chosen') expect(emitted.index).toBe(was);
        }
        s.actor.send({ type: 'FREE' });
        s.wait(settles);
        s.press();
        s.wait(settles);
        if (count > 0) expect(s.at()).not.toBe(null);
        s.actor.send({ type: 'ITEMS', count: 3, index: null });
        s.wait(settles);
        expect(s.at()).toBe(0);
      },
    ),
  );
});
