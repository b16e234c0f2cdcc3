import { describe, expect, it } from 'vitest';
import { headline } from '../../src/app/staff/headline';
import type { ConceptRecord, VisitRecord } from '../../src/records/derive';

const point = (outcome: string, more: Partial<ConceptRecord> = {}) =>
  ({ outcome, weight: 'important', review: [], ...more }) as unknown as ConceptRecord;
const visit = (more: Partial<VisitRecord>) =>
  ({ state: 'completed', concepts: [], questions: [], showMe: [], ...more }) as unknown as VisitRecord;

describe('the line over a review', () => {
  it('says that nothing is open when all was said back', () => {
    expect(headline(visit({ concepts: [point('first-try'), point('not-said')] }))).toBe(
      'Every point was said back; nothing is open.',
    );
  });

  it('counts what needs a person, gravest first', () => {
    const concepts = [
      point('needs-person', { weight: 'critical', review: ['misconception'] }),
      point('needs-person'),
      point('not-asked'),
    ];
    const questions = [{ seq: 1, at: '', text: '', answer: null, staff: null }];
    const showMe = [
      { point: 'a', text: '', shown: true, later: null },
      { point: 'b', text: '', shown: false, later: null },
    ];
    expect(headline(visit({ concepts, questions, showMe }))).toBe(
      '2 points need a person (1 critical); 1 point was said the other way round; 1 point was not asked; 1 question has no answer yet; 1 thing was not shown yet.',
    );
  });

  it('says when nobody watched', () => {
    expect(headline(visit({ showMe: [{ point: 'a', text: '', shown: null, later: null }] }))).toBe(
      'Nobody watched the hands.',
    );
  });
});
