import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeOf } from '../../src/fhir/client';
import { afterFiling, afterProblem, again, dueRows, viewOf, waitAfter } from '../../src/fhir/outbox';
import { FilingProblem, problemOf } from '../../src/fhir/problem';
import { freshRow } from '../../src/records/rows';
import { otherId, visitId } from '../records/fixtures';

const now = Date.UTC(2026, 2, 2, 18);

describe('the wait after a try in vain', () => {
  it('is doubled each time, never more than a quarter of an hour, and differs from kiosk to kiosk', () => {
    expect([1, 2, 3, 4].map((tries) => waitAfter(tries, 1))).toEqual([5_000, 10_000, 20_000, 40_000]);
    expect(waitAfter(1, 0)).toBe(2_500);
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 10_000 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (tries, chance) => {
          const wait = waitAfter(tries, chance);
          expect(wait).toBeGreaterThanOrEqual(2_500);
          expect(wait).toBeLessThanOrEqual(15 * 60_000);
        },
      ),
    );
  });
});

describe('a row of the outbox', () => {
  const row = freshRow(visitId);
  const busy = new FilingProblem('server', 'Busy.', { status: 503, retryAfter: 60_000 });

  it('is tried when its time has come, those before it that failed less often', () => {
    const waits = afterProblem(row, busy, now, 0.5);
    const other = freshRow(otherId);
    expect(dueRows([waits], now)).toEqual([]);
    expect(dueRows([waits, other], now + 60_000).map(({ visit }) => visit)).toEqual([otherId, visitId]);
    expect(dueRows([afterFiling(row, now)], now + 60_000)).toEqual([]);
  });

  it('waits at least as long as the server wants', () => {
    expect(afterProblem(row, busy, now, 0).notBefore).toBe(new Date(now + 60_000).toISOString());
  });

  it('that only a person can settle is held, until one says so', () => {
    const held = afterProblem(row, new FilingProblem('person', 'Look.'), now, 0);
    expect(held).toMatchObject({ state: 'held', notBefore: null, problem: 'Look.' });
    expect(dueRows([held], now * 2)).toEqual([]);
    expect(dueRows([again(held)], now)).toHaveLength(1);
  });

  it('that was filed stays so', () => {
    expect(again(afterFiling(row, now)).state).toBe('filed');
  });

  it('stays in doubt unless the server surely did nothing', () => {
    const doubtful = { ...row, doubtful: true };
    const doubt = (about: FilingProblem['about']) =>
      afterProblem(doubtful, new FilingProblem('server', 'No.', about), now, 0).doubtful;
    expect(doubt({})).toBe(true);
    expect(doubt({ status: 502 })).toBe(true);
    expect(doubt({ status: 503 })).toBe(false);
    expect(doubt({ status: 422 })).toBe(false);
  });

  it('is counted, with the last problem, and those that are sealed', () => {
    const waits = afterProblem(row, busy, now, 0);
    const held = afterProblem(freshRow(otherId), new FilingProblem('person', 'Look.'), now, 0);
    expect(viewOf([waits, held], new Set([visitId]))).toMatchObject({
      ...{ waiting: 1, held: 1, sealed: 1, problem: 'Busy.' },
    });
    expect(viewOf([afterFiling(row, now)], new Set())).toMatchObject({ waiting: 0, held: 0, problem: '' });
  });
});

describe('an answer that is no success', () => {
  const holds = (status: number) => problemOf(status, 'POST bundle', null, null, now).holds;

  it('holds the server, the visit or waits for a person, by its status (RFC 9110, 15; RFC 6585, 4)', () => {
    expect([401, 403, 408, 429, 500, 502, 503, 504].map(holds)).toEqual(Array(8).fill('server'));
    expect([409, 412].map(holds)).toEqual(['visit', 'visit']);
    expect([400, 404, 413, 422].map(holds)).toEqual(Array(4).fill('person'));
  });

  it('may say when to come again: in seconds or by a date (RFC 9110, 10.2.3), six hours at most', () => {
    const waits = (given: string | null) => problemOf(429, 'x', null, given, now).about.retryAfter;
    expect(waits('120')).toBe(120_000);
    expect(waits(new Date(now + 30_000).toUTCString())).toBe(30_000);
    expect(waits(new Date(now - 30_000).toUTCString())).toBe(0);
    expect(waits('999999999')).toBe(6 * 60 * 60_000);
    expect(waits('soon')).toBeUndefined();
    expect(waits(null)).toBeUndefined();
  });

  it('may have words of the server in it, which are kept apart', () => {
    const body = {
      resourceType: 'OperationOutcome',
      issue: [{ details: { text: 'Ines\n Marlow is unknown' } }],
    };
    const problem = problemOf(422, 'POST bundle', body, null, now);
    expect(problem.about.said).toBe('Ines Marlow is unknown');
    expect(problem.message).not.toContain('Marlow');
  });
});

describe('where something was put', () => {
  it.each([
    ['https://gate.example/fhir/Task/a-1/_history/3', 'Task/a-1'],
    ['Task/a-1', 'Task/a-1'],
    ['/fhir/Task/a-1', 'Task/a-1'],
    ['https://gate.example/', null],
    [null, null],
  ])('%s', (location, place) => {
    expect(placeOf(location)).toBe(place);
  });
});
