import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { procedureOutcomes, systems } from '../../src/fhir/codes';
import { exportBundle } from '../../src/fhir/export';
import type { ExportBundle, VisitResource } from '../../src/fhir/schema';
import { derive } from '../../src/records/derive';
import { chartNote } from '../../src/records/note';
import type { VisitFact } from '../../src/records/types';
import { anyVisit } from '../records/arbitrary';
import { logOf, started, startOf, texts, visitId } from '../records/fixtures';
import { problemsOf, resolved } from './checks';
import { visits } from './visits';

const now = new Date('2026-03-02T16:00:00Z');
const recordOf = (facts: VisitFact[]) => derive(logOf(facts), texts);
const exported = (facts: VisitFact[]) => exportBundle(recordOf(facts), texts, now);
const find = <T extends VisitResource['resourceType']>(bundle: ExportBundle, type: T) =>
  bundle.entry.find(({ resource }) => resource.resourceType === type)?.resource as
    | Extract<VisitResource, { resourceType: T }>
    | undefined;
const typesOf = ({ entry }: ExportBundle) => entry.map(({ resource }) => resource.resourceType);
const definitions = ['CodeSystem', 'CodeSystem', 'Questionnaire'];

describe('a visit as FHIR', () => {
  it.each(Object.entries(visits))('is valid R4, whole and in its parts: %s', (_name, facts) => {
    const bundle = exported(facts);
    expect(problemsOf(bundle)).toEqual([]);
    for (const resource of resolved(bundle)) expect(problemsOf(resource)).toEqual([]);
  });

  it('is valid whatever a log may hold', () => {
    fc.assert(
      fc.property(anyVisit, (facts) => {
        expect(resolved(exported(facts)).flatMap(problemsOf)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it.each(Object.entries(visits))('points only at what is in the file, and backwards: %s', (_name, facts) => {
    const { entry } = exported(facts);
    const seen: string[] = [];
    for (const { fullUrl, resource } of entry) {
      for (const [, address] of JSON.stringify(resource).matchAll(/"reference":"([^"]+)"/g)) {
        expect(seen).toContain(address);
      }
      seen.push(fullUrl);
    }
    expect(new Set(seen).size).toBe(seen.length);
  });

  it('leaves a task only where something is left, and a message only where somebody asked', () => {
    expect(typesOf(exported(visits['all understood']!))).toEqual([
      ...['DocumentReference', 'Procedure', 'QuestionnaireResponse', 'Observation'],
      ...definitions,
    ]);
    const whole = exported(visits['contradicted, handed over, questions kept']!);
    expect(typesOf(whole)).toEqual([
      ...['DocumentReference', 'Procedure', 'QuestionnaireResponse', 'Observation', 'Communication', 'Task'],
      ...definitions,
    ]);
    expect(find(whole, 'Communication')?.payload).toEqual([
      { contentString: 'Can my <b>dog</b> have some?' },
    ]);
    expect(find(whole, 'Task')?.description).toContain('Shake well');
  });

  it('holds the chart note word for word', () => {
    const facts = visits['a caregiver']!;
    const { data } = find(exported(facts), 'DocumentReference')!.content[0]!.attachment;
    expect(Buffer.from(data, 'base64').toString('utf8')).toBe(chartNote(recordOf(facts), texts.teaching));
  });

  it('is in the language of its texts, which are those of the chart, whatever the visit was held in', () => {
    const note = find(exported(visits['a caregiver']!), 'DocumentReference')!;
    expect([note.language, note.content[0]!.attachment.language]).toEqual(['en', 'en']);
    expect(chartNote(recordOf(visits['a caregiver']!), texts.teaching)).toContain('Language: French');
  });

  it('says how it went in the codes that R4 lists for the outcome of a procedure', () => {
    const outcome = (name: string) => find(exported(visits[name]!), 'Procedure')?.outcome?.coding?.[0];
    expect(outcome('all understood')).toEqual(procedureOutcomes.all);
    expect(outcome('taught again')).toEqual(procedureOutcomes.all);
    expect(outcome('contradicted, handed over, questions kept')).toEqual(procedureOutcomes.some);
    expect(outcome('parked and stopped')).toEqual(procedureOutcomes.none);
    expect(find(exported([started()]), 'Procedure')).toMatchObject({ status: 'in-progress' });
    expect(find(exported([started()]), 'Procedure')?.outcome).toBeUndefined();
  });

  it('tells each point with what came of it, and the contrary that was said', () => {
    const { item = [] } = find(
      exported(visits['contradicted, handed over, questions kept']!),
      'QuestionnaireResponse',
    )!;
    const shake = item.find(({ text }) => text === 'Shake well');
    expect(shake).toEqual({
      linkId: 'point',
      text: 'Shake well',
      item: [
        { linkId: 'point.id', answer: [{ valueString: 'lamp.light.shake' }] },
        {
          linkId: 'point.result',
          answer: [
            { valueCoding: { system: systems.result, code: 'needs-person', display: 'Needs a person' } },
          ],
        },
        { linkId: 'point.attempts', answer: [{ valueInteger: 2 }] },
        { linkId: 'point.misconception', answer: [{ valueString: 'no-shake' }] },
      ],
    });
    expect(item.filter(({ linkId }) => linkId === 'show-me')).toMatchObject([
      { item: [{}, { answer: [{ valueBoolean: true }] }] },
      { item: [{ linkId: 'show-me.id' }] },
    ]);
  });

  it('takes what a caregiver said as theirs, about the patient', () => {
    const bundle = exported(visits['a caregiver']!);
    const { source, subject } = find(bundle, 'QuestionnaireResponse')!;
    expect(source).toEqual({ type: 'RelatedPerson', display: 'Tobin Marlow (son)' });
    expect(subject).toEqual({ type: 'Patient', display: 'Patient in Harbor 4, bed 12' });
    expect(find(bundle, 'Communication')?.sender).toEqual(source);
    expect(find(bundle, 'Observation')?.performer).toEqual([source]);
  });

  it('survives a clock that was set back', () => {
    const log = logOf(visits['all understood']!);
    const back = log.map((event) => (event.seq === 0 ? { ...event, at: '2026-03-02T20:00:00.000Z' } : event));
    expect(problemsOf(exportBundle(derive(back, texts), texts, now))).toEqual([]);
  });

  it('is the same each time, ids and all', () => {
    const facts = visits['taught again']!;
    expect(exported(facts)).toEqual(exported(facts));
    const ids = exported(facts).entry.map(({ resource }) => resource.id);
    expect(ids[0]).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    const other = '8d1b5a3e-0c4b-4f0e-8a57-6a4f3f1d2b22';
    const theirs = exportBundle(
      derive(logOf([{ type: 'visit-started', start: startOf({ visit: other }) }], other), texts),
      texts,
      now,
    );
    expect(theirs.entry.map(({ resource }) => resource.id).filter((id) => ids.includes(id))).toEqual([
      'teach-back-result',
      'teach-back-kind',
      'teach-back',
    ]);
  });

  it('never holds the practice visit, nor one whose beginning is lost', () => {
    expect(() => exported([started({ practice: true })])).toThrow(/practice visit or a sample is never/);
    expect(() => exportBundle(derive(logOf([]), texts), texts, now)).toThrow(/beginning .* missing/);
    expect(visitId).toBe(startOf().visit);
  });
});

/** Faults of the kinds that a mapping makes; each has to be seen by somebody, or the checks above prove nothing. */
describe('the checks themselves', () => {
  type Loose = Record<string, never>;
  const planted: [string, VisitResource['resourceType'], (resource: Loose) => object][] = [
    ['a status of another resource', 'Procedure', (given) => ({ ...given, status: 'done' })],
    ['no subject', 'Procedure', ({ subject: _, ...rest }) => rest],
    [
      'one pointing at the wrong kind',
      'Procedure',
      (given) => ({ ...given, report: [{ reference: 'Patient/1' }] }),
    ],
    ['an element of nobody', 'Task', (given) => ({ ...given, urgency: 'high' })],
    ['one where many belong', 'DocumentReference', (given) => ({ ...given, author: { display: 'x' } })],
    ['an empty array', 'Communication', (given) => ({ ...given, payload: [] })],
    ['an empty string', 'Task', (given) => ({ ...given, description: '' })],
    ['a day that is none', 'QuestionnaireResponse', (given) => ({ ...given, authored: '2 March' })],
    ['an id with a space', 'Procedure', (given) => ({ ...given, id: 'a b' })],
    [
      'two values',
      'QuestionnaireResponse',
      (given) => ({
        ...given,
        item: [{ linkId: 'question', answer: [{ valueString: 'a', valueBoolean: true }] }],
      }),
    ],
    [
      'answer and item at once',
      'QuestionnaireResponse',
      (given) => ({
        ...given,
        item: [
          { linkId: 'question', answer: [{ valueString: 'a' }], item: [{ linkId: 'point.id', text: 'b' }] },
        ],
      }),
    ],
    [
      'a question that the form does not have',
      'QuestionnaireResponse',
      (given) => ({ ...given, item: [{ linkId: 'mood', answer: [{ valueString: 'a' }] }] }),
    ],
    [
      'a period that ends first',
      'Procedure',
      (given) => ({
        ...given,
        performedPeriod: { start: '2026-03-02T15:00:00.000Z', end: '2026-03-02T14:00:00.000Z' },
      }),
    ],
    ['half a character', 'Task', (given) => ({ ...given, description: 'a\ud800' })],
    ['data that is not Base64', 'DocumentReference', withData('!!')],
  ];
  it.each(planted)('see %s', (_name, type, spoil) => {
    const good = find(exported(visits['contradicted, handed over, questions kept']!), type)!;
    expect(problemsOf(spoil(good as unknown as Loose))).not.toEqual([]);
  });

  function withData(data: string) {
    return (given: Loose) => ({
      ...given,
      content: [{ attachment: { contentType: 'text/plain', data } }],
    });
  }
});
