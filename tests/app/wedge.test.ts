import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Burst, cleaned, type Key, noBurst, take } from '../../src/app/staff/wedge';

/** Keys one after the other, each so many ms after the one before. */
const keys = (
  names: string[],
  gap: number | ((index: number) => number),
  change: Partial<Key> = {},
): Key[] => {
  let at = 1000;
  return names.map((key, index) => {
    at += typeof gap === 'number' ? gap : gap(index);
    return { key, at, repeat: false, chord: false, ...change };
  });
};
const run = (all: Key[]) => {
  let burst: Burst = noBurst;
  return all.map((key) => {
    const step = take(burst, key);
    burst = step.burst;
    return step;
  });
};
const scans = (all: Key[]) => run(all).flatMap(({ scanned }) => scanned ?? []);
const typed = (text: string, end = 'Enter') => [...text, end];

describe('what comes as fast as from a scanner', () => {
  test('is a scan when Enter ends it', () => {
    expect(scans(keys(typed('00417-B'), 8))).toEqual(['00417-B']);
    expect(scans(keys(typed('00417-B', 'Tab'), 8))).toEqual([]);
    expect(scans(keys([...'00417-B'], 8))).toEqual([]);
  });

  test('is taken as it is, with whatever stands in front and its check digit', () => {
    expect(scans(keys(typed(']C1800614141123458'), 5))).toEqual([']C1800614141123458']);
  });

  test('has its capitals, for which Shift goes down in between', () => {
    expect(scans(keys(['Shift', 'A', 'Shift', 'B', '1', '2', 'Enter'], 10))).toEqual(['AB12']);
  });

  test('loses control characters that are sent as chords, and blanks at its ends', () => {
    const all = keys([']', ' ', '4', '1', '7', '9', ' ', 'j', 'Enter'], 5);
    all[0]!.chord = true;
    all[7]!.chord = true;
    expect(scans(all)).toEqual(['4179']);
    // Ctrl+J would open the downloads.
    expect(run(all)[7]!.machine).toBe(true);
  });

  test('ends the one before: the next scan is a number of its own', () => {
    expect(scans(keys([...typed('1111'), ...typed('2222')], 10))).toEqual(['1111', '2222']);
  });

  test('is no number when it is too short', () => {
    expect(scans(keys(typed('123'), 5))).toEqual([]);
  });
});

describe('people', () => {
  test('are never taken for a scanner, whatever they type, with more than 50 ms between two keys', () => {
    const gap = fc.integer({ min: 51, max: 2000 });
    const key = fc.constantFrom(...'aB7 -', 'Enter', 'Tab', 'Shift', 'Backspace', 'ArrowDown');
    fc.assert(
      fc.property(fc.array(fc.tuple(key, gap), { maxLength: 40 }), (struck) => {
        const steps = run(
          keys(
            struck.map(([name]) => name),
            (index) => struck[index]![1],
          ),
        );
        expect(steps.every(({ scanned, machine }) => scanned === null && !machine)).toBe(true);
      }),
    );
  });

  test('may roll over two or three keys at once', () => {
    // "there" with a fast "the", then Enter.
    const gaps = [200, 30, 20, 110, 120, 90];
    expect(scans(keys(typed('there'), (index) => gaps[index]!))).toEqual([]);
  });

  test('may end quickly after typing slowly', () => {
    const gaps = [200, 150, 150, 150, 20, 20];
    expect(scans(keys(typed('00417'), (index) => gaps[index]!))).toEqual([]);
  });

  test('who use switches press Space and Enter as they can, bouncing ones too', () => {
    for (const gap of [5, 40, 400]) {
      const steps = run(keys([' ', ' ', 'Enter', ' ', 'Enter', 'Enter', ' ', ' ', 'Enter'], gap));
      expect(steps.every(({ scanned, machine }) => scanned === null && !machine)).toBe(true);
    }
    expect(scans(keys([' ', ' ', ' ', ' ', ' ', 'Enter'], 5))).toEqual([]);
  });

  test('may hold a key down', () => {
    const held = keys([...'aaaaaaaa'], 33, { repeat: true });
    expect(scans([...held, ...keys(['Enter'], 400)])).toEqual([]);
    const steps = run([...held, { key: 'Enter', at: held.at(-1)!.at + 20, repeat: false, chord: false }]);
    expect(steps.every(({ scanned, machine }) => scanned === null && !machine)).toBe(true);
  });
});

test('control characters and blanks go from the ends of what was written, and nothing else', () => {
  expect(cleaned('\u001d 00417-B\u0003\r\n')).toBe('00417-B');
  expect(cleaned(']C101\u001d0417')).toBe(']C101\u001d0417');
  expect(cleaned(' \u0000\t')).toBe('');
});
