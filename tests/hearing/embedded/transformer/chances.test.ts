import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Chances } from '../../../../src/hearing/embedded/transformer/chances';

describe('chances of words', () => {
  test('are shares of the whole; those of a word that comes twice are added', () => {
    const chances = new Chances([
      ['cap', 1],
      ['cat', 2],
      ['spacer', 3],
      ['cap', 2],
    ]);
    expect(chances.seen).toBe(8);
    expect(chances.is('cap')).toBe(3 / 8);
    expect(chances.begins('ca')).toBe(5 / 8);
    expect(chances.begins('')).toBe(1);
    expect(chances.is('ca')).toBe(0);
    expect(chances.begins('x')).toBe(0);
  });

  test('of nothing are none', () => {
    const none = new Chances([]);
    expect([none.seen, none.begins(''), none.is('a')]).toEqual([0, 0, 0]);
  });

  test('are what counting one by one gives', () => {
    const word = fc.string({ unit: fc.constantFrom('a', 'b', "'", 'é'), minLength: 1, maxLength: 4 });
    const entry = fc.tuple(word, fc.integer({ min: 1, max: 9 }));
    fc.assert(
      fc.property(fc.array(entry, { minLength: 1 }), word, (entries, asked) => {
        const chances = new Chances(entries);
        const share = (wanted: (word: string) => boolean) =>
          entries.reduce((sum, [each, weight]) => sum + (wanted(each) ? weight : 0), 0) / chances.seen;
        expect(chances.begins(asked)).toBeCloseTo(
          share((each) => each.startsWith(asked)),
          10,
        );
        expect(chances.is(asked)).toBeCloseTo(
          share((each) => each === asked),
          10,
        );
      }),
    );
  });
});
