import { expect, test } from 'vitest';
import { derive } from '../../src/records/derive';
import { followUps, lookAt } from '../../src/records/followUps';
import { recheckOf } from '../../src/records/recheck';
import { nextStart } from '../../src/records/sitting';
import type { VisitFact } from '../../src/records/types';
import { logOf, module, otherId, started, startOf, texts, visitId, wholeVisit } from './fixtures';

const look = (facts: VisitFact[], visit = visitId) => lookAt(derive(logOf(facts, visit), texts))!;
/** Ends on 2 March 2026, 14:26 UTC, with one point left open. */
const earlier = look(wholeVisit);
const [before, after] = [new Date('2026-03-04T14:25:59Z'), new Date('2026-03-04T14:26:00Z')];

test('open points are due to be checked again 48 hours after the end of the visit', () => {
  const at = '2026-03-04T14:26:00.000Z';
  expect(followUps([earlier], before).get(visitId)).toEqual({ recheck: { at, due: false }, toCome: null });
  expect(followUps([earlier], after).get(visitId)).toEqual({ recheck: { at, due: true }, toCome: null });
});

test('nothing is due after a re-check has begun, a practice visit, a visit that is not over, or one with nothing open', () => {
  const start = recheckOf(derive(logOf(wholeVisit), texts), module, {
    visit: otherId,
    bed: '12',
    staff: 'Q. Fenn',
    concepts: ['lamp.light.shake'],
  });
  const recheck = look([{ type: 'visit-started', start }], otherId);
  expect(followUps([earlier, recheck], after).size).toBe(0);
  const practice = look([started({ practice: true }), ...wholeVisit.slice(1)]);
  expect(followUps([practice], after).size).toBe(0);
  expect(followUps([look(wholeVisit.slice(0, -1))], after).size).toBe(0);
  expect(followUps([look([started(), { type: 'finished', how: 'stopped' }])], after).size).toBe(0);
});

const sitting = {
  id: visitId,
  index: 0,
  follows: false,
  toCome: [{ module: 'lamp', steps: ['care'], particulars: startOf().particulars }],
};

test('the lesson still to come is told of a visit that was stopped, and of one that is not over', () => {
  const toCome = { module: 'lamp', language: 'en' };
  const stopped = look([started({ sitting }), { type: 'finished', how: 'stopped' }]);
  expect(followUps([stopped], after).get(visitId)).toEqual({ recheck: null, toCome });
  expect(followUps([look([started({ sitting })])], after).get(visitId)).toEqual({ recheck: null, toCome });
});

test('a lesson that has begun is not still to come', () => {
  const first = started({ sitting }) as Extract<VisitFact, { type: 'visit-started' }>;
  const start = nextStart({ start: first.start, recordNumber: null }, module, {
    visit: otherId,
    follows: true,
  })!;
  const second = look([{ type: 'visit-started', start }], otherId);
  expect(followUps([look([first]), second], after).size).toBe(0);
});

test('of a visit whose beginning is lost nothing can be told', () => {
  expect(lookAt(derive(logOf(wholeVisit).slice(1), texts))).toBeNull();
});
