import { expect, test } from 'vitest';
import { visitStartSchema } from '../../src/records/schema';
import { nextBegun, nextIn, nextStart } from '../../src/records/sitting';
import { module, otherId, startOf, visitId } from './fixtures';

const own = { ...startOf().particulars, medicine: 'green mist' };
const start = startOf({
  readiness: 'eager',
  sitting: {
    id: visitId,
    index: 0,
    follows: false,
    toCome: [
      { module: 'wick', steps: ['care', 'gone'], particulars: own },
      { module: 'shade', steps: ['hang'], particulars: own },
    ],
  },
});
const wick = { ...module, id: 'wick', version: '2.0.0' };
const then = { visit: otherId, follows: true };

test('the next lesson has all that was entered for the first, its own parts and its own particulars', () => {
  const next = nextStart({ start, recordNumber: 'L-3' }, wick, then);
  expect(visitStartSchema.parse(next)).toEqual({
    ...start,
    visit: otherId,
    recordNumber: 'L-3',
    module: 'wick',
    moduleVersion: '2.0.0',
    steps: ['care'],
    particulars: own,
    sitting: { id: visitId, index: 1, follows: true, toCome: [start.sitting?.toCome[1]] },
  });
});

test('after the last lesson nothing is to come, nor after a visit that is a lesson alone', () => {
  const last = { ...start, sitting: { id: visitId, index: 2, follows: true, toCome: [] } };
  expect(nextIn(last)).toBeNull();
  expect(nextStart({ start: last, recordNumber: null }, wick, then)).toBeNull();
  expect(nextIn(startOf())).toBeNull();
  expect(nextIn(null)).toBeNull();
  expect(nextStart({ start: startOf(), recordNumber: null }, wick, then)).toBeNull();
});

test('a lesson whose chosen parts are not taught any more is refused with a sentence', () => {
  expect(() => nextStart({ start, recordNumber: null }, { ...wick, steps: [] }, then)).toThrow(
    'None of the chosen parts of wick is taught any more.',
  );
});

test('the next lesson has begun when a visit of the same sitting has the next number', () => {
  const next = nextStart({ start, recordNumber: null }, wick, then)!;
  expect(nextBegun(start, [start])).toBe(false);
  expect(nextBegun(start, [start, next])).toBe(true);
  expect(nextBegun(next, [start, next])).toBe(false);
  expect(nextBegun(start, [start, { ...next, sitting: { ...next.sitting!, id: otherId } }])).toBe(false);
  expect(nextBegun(startOf(), [startOf()])).toBe(false);
});
