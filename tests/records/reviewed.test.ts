import { describe, expect, test } from 'vitest';
import { derive } from '../../src/records/derive';
import { handoutOf } from '../../src/records/handout';
import { visitFactSchema } from '../../src/records/schema';
import { summarize, toJson } from '../../src/records/summary';
import { summarySchema } from '../../src/records/summary-schema';
import type { VisitFact } from '../../src/records/types';
import { decided, logOf, rue, signed, texts, wholeVisit } from './fixtures';

const shake = 'lamp.light.shake';
const recordOf = (...added: VisitFact[]) => derive(logOf([...wholeVisit, ...added]), texts);
const point = (concept: string, ...added: VisitFact[]) =>
  recordOf(...added).concepts.find((one) => one.concept === concept)!;
const minute = (facts: number) => new Date(Date.UTC(2026, 2, 2, 14, wholeVisit.length + facts)).toISOString();

describe('a decision about a point', () => {
  const { judged, outcome, final, review } = point(shake);

  test('takes the place of what was judged, which stays beside it', () => {
    expect(judged).toBe('needs-person');
    const now = point(shake, decided(shake, 'understood', 'Showed me twice.'));
    expect(now).toMatchObject({ outcome: 'confirmed', judged, final, review });
    expect(now.decision).toEqual({
      ...{ decision: 'understood', reason: 'Showed me twice.', by: rue, at: minute(0) },
    });
    expect(outcome).toBe(judged);
  });

  test('may ask for a person where all was said', () => {
    const now = point('lamp.care.rinse', decided('lamp.care.rinse', 'needs-person', 'Read it off the card.'));
    expect(now).toMatchObject({ outcome: 'needs-person', judged: 'first-try', review: [] });
  });

  test('can be decided again, and taken back; the newest counts', () => {
    const first = decided(shake, 'understood', 'Told me.');
    const second = decided(shake, 'needs-person', 'Forgot it again.');
    expect(point(shake, first, second).decision?.reason).toBe('Forgot it again.');
    const back: VisitFact = { type: 'decision-taken-back', concept: shake, by: rue };
    expect(point(shake, first, second, back)).toMatchObject({ decision: null, outcome: judged });
    expect(point(shake, first, back, second).decision?.reason).toBe('Forgot it again.');
  });

  test('about a point that nobody knows changes nothing', () => {
    expect(recordOf(decided('constructor', 'understood', 'x')).concepts).toEqual(recordOf().concepts);
  });

  test('moves the point: what is open comes first, what was confirmed behind it', () => {
    const ids = (...added: VisitFact[]) => recordOf(...added).concepts.map(({ concept }) => concept);
    expect(ids()[0]).toBe(shake);
    const confirmed = decided(shake, 'understood', 'Told me.');
    expect(ids(confirmed)).toEqual([
      ...['lamp.light.extra', shake, 'lamp.light.lips', 'lamp.care.rinse', 'lamp.care.call'],
    ]);
    expect(ids(confirmed, decided('lamp.care.call', 'needs-person', 'Unsure.'))[0]).toBe('lamp.care.call');
  });

  test('is that of summary and handout too', () => {
    const before = recordOf();
    const after = recordOf(decided(shake, 'understood', 'Told me.'));
    expect(summarize(before, texts).person).toEqual(['Shake well']);
    expect(summarize(after, texts)).toMatchObject({
      person: [],
      counts: { confirmed: 1, 'needs-person': 0 },
    });
    expect(handoutOf(before, texts).practiseFirst.map(({ concept }) => concept)).toContain(shake);
    expect(handoutOf(after, texts).practiseFirst.map(({ concept }) => concept)).not.toContain(shake);
    const file = toJson(after, texts.common.paper);
    expect(summarySchema.parse(JSON.parse(JSON.stringify(file)))).toEqual(file);
    expect(file.concepts.find(({ concept }) => concept === shake)).toMatchObject({
      ...{ outcome: 'confirmed', judged: 'needs-person', decision: { reason: 'Told me.' } },
    });
  });

  test.each(['', '  ', '\n\t'])('needs a reason in words, and a name: "%s" is none', (empty) => {
    expect(visitFactSchema.safeParse(decided(shake, 'understood', 'Told me.')).success).toBe(true);
    expect(visitFactSchema.safeParse(decided(shake, 'understood', empty)).success).toBe(false);
    expect(visitFactSchema.safeParse(signed({ name: empty })).success).toBe(false);
  });
});

describe('what else staff add', () => {
  const seqOf = (text: string) =>
    wholeVisit.findIndex((fact) => fact.type === 'question' && fact.text === text);
  const dog = seqOf('Can my <b>dog</b> have some?');
  const answered = (question: number, answer: string): VisitFact => ({
    ...{ type: 'answered', question, answer, by: rue },
  });

  test('an answer stands with its question, which is then left out of the handout; the newest counts', () => {
    const { questions } = recordOf(answered(dog, 'No.'), answered(dog, 'No, never.'));
    expect(questions.map(({ staff }) => staff)).toEqual([
      { answer: 'No, never.', by: rue, at: minute(1) },
      null,
    ]);
    expect(handoutOf(recordOf(), texts).questions).toHaveLength(1);
    expect(handoutOf(recordOf(answered(dog, 'No.')), texts).questions).toEqual([]);
  });

  test('an answer to what is no question changes nothing', () => {
    expect(recordOf(answered(0, 'No.'), answered(999, 'No.')).questions).toEqual(recordOf().questions);
  });

  test('a point of the show-me may be seen later, by whom is told', () => {
    const seen: VisitFact = { type: 'show-me', point: 'seal', shown: true, by: rue };
    expect(recordOf(seen).showMe).toMatchObject([
      { point: 'shake', shown: true, later: null },
      { point: 'seal', shown: true, later: { by: rue, at: minute(0) } },
    ]);
  });

  test('changes neither when the visit ended nor how', () => {
    const before = recordOf();
    const after = recordOf(answered(dog, 'No.'), signed());
    expect([after.endedAt, after.minutes, after.state]).toEqual([
      before.endedAt,
      before.minutes,
      before.state,
    ]);
  });
});

describe('the signature', () => {
  const confirmed = decided(shake, 'understood', 'Told me.');
  const signOff = (...added: VisitFact[]) => recordOf(...added).signOff;

  test('is there, with name and time, until something is added', () => {
    const none = { signed: null, changedSince: false, amended: false, changedAt: null };
    expect(signOff()).toEqual(none);
    expect(signOff(signed())).toEqual({ ...none, signed: { by: rue, at: minute(0) } });
    expect(signOff(confirmed, signed())).toMatchObject({ changedSince: false, changedAt: minute(0) });
    expect(signOff(signed(), confirmed)).toMatchObject({
      ...{ signed: { at: minute(0) }, changedSince: true, amended: false },
    });
  });

  test('given again after a change vouches for all of it, which is amended then', () => {
    const other = { name: 'O. Fennimore', id: 'odo' };
    expect(signOff(signed(), confirmed, signed(other))).toEqual({
      ...{ signed: { by: other, at: minute(2) }, changedSince: false, amended: true, changedAt: minute(1) },
    });
    expect(signOff(signed(), signed(other))).toMatchObject({ changedSince: false, amended: false });
  });

  test('is reopened by a record number as well', () => {
    expect(signOff(signed(), { type: 'record-number', number: 'A-2' }).changedSince).toBe(true);
  });

  test('is not reopened by what staff say of whom a visit is filed with', () => {
    const checked: VisitFact = {
      ...{ type: 'patient-checked', number: 'A-2', patient: 'Patient/2', shown: 'Ines Marlow', yes: true },
    };
    expect(signOff(signed(), checked).changedSince).toBe(false);
  });
});

test('what was open once is told even when it is settled', () => {
  const fine = wholeVisit.filter(({ type }) => type === 'visit-started' || type === 'finished');
  const all = [
    'lamp.light.shake',
    'lamp.light.lips',
    'lamp.care.rinse',
    'lamp.care.call',
    'lamp.light.extra',
  ];
  expect(recordOf().wasOpen).toBe(true);
  expect(recordOf(...all.map((one) => decided(one, 'understood', 'Told me.'))).wasOpen).toBe(true);
  expect(derive(logOf(fine), { ...texts, module: { ...texts.module, steps: [] } }).wasOpen).toBe(false);
});
