import { describe, expect, test } from 'vitest';
import {
  merge,
  nextStep,
  outcome,
  placeOf,
  shownPoints,
  stepProgress,
  stillMissed,
} from '../../machines/progress';
import type { VisitFact } from '../../src/records/types';
import type { Finding, Label } from '../../src/scoring/types';
import { heard } from './harness';
import { lesson, start } from './lesson';

const finding = (concept: string, label: Label): Finding => ({
  concept,
  label,
  confidence: 0.9,
  evidence: [],
  reason: 'test',
});

const begun: VisitFact[] = [
  { type: 'visit-started', start },
  { type: 'sound-checked', ok: true, detail: '' },
];
const step = 'puff';
const started: VisitFact = { type: 'step-started', step };
const explained: VisitFact = { type: 'explained', step, wording: 'first' };
const asked = (attempt: number, concepts: string[]): VisitFact => ({
  type: 'asked',
  step,
  attempt,
  concepts,
  text: '',
});
const answered = (
  attempt: number,
  mode: 'voice' | 'touch' | 'typed',
  confirmed: boolean | null = null,
): VisitFact => ({
  type: 'heard',
  step,
  attempt,
  mode,
  heard: heard('x'),
  confirmed,
});
const judged = (attempt: number, ...findings: Finding[]): VisitFact => ({
  type: 'judged',
  step,
  attempt,
  findings,
});

const at = (...facts: VisitFact[]) => stepProgress(lesson, [...begun, ...facts], step);

describe('where a step stands', () => {
  test('nothing happened: explain, first try, all concepts', () => {
    expect(at()).toMatchObject({
      started: false,
      stage: 'explain',
      attempt: 1,
      asked: ['puff.shake', 'puff.seal', 'puff.slow', 'puff.upright'],
    });
  });

  test.each([
    ['started', 'explain', 1, [started]],
    ['explained', 'ask', 1, [started, explained]],
    ['an answer', 'judge', 1, [started, explained, answered(1, 'voice')]],
    ['an answer said to be wrong', 'ask', 1, [started, explained, answered(1, 'voice', false)]],
    ['tapped cards', 'ask', 1, [started, explained, answered(1, 'touch')]],
    [
      'an answer taken back',
      'ask',
      1,
      [started, answered(1, 'voice'), { type: 'not-heard', step, reason: 'said-not-right' }],
    ],
    ['a judgement', 'decide', 1, [started, explained, answered(1, 'voice'), judged(1)]],
    [
      'taught again',
      'ask',
      2,
      [started, judged(1), { type: 'retaught', step, attempt: 1, concepts: ['puff.seal'] }],
    ],
    ['asked again', 'ask', 3, [started, judged(2), asked(3, ['puff.seal'])]],
    ['handed over', 'close', 3, [started, judged(3), { type: 'handed-over', step, concepts: ['puff.seal'] }]],
    ['finished', 'done', 1, [started, judged(1), { type: 'step-finished', step }]],
    [
      'explained once more while asking',
      'ask',
      2,
      [asked(2, ['puff.seal']), { type: 'explained', step, wording: 'repeat' }],
    ],
  ] as [string, string, number, VisitFact[]][])('%s: %s, try %i', (_, stage, attempt, facts) => {
    expect(at(...facts)).toMatchObject({ stage, attempt });
  });

  test('facts of other steps do not count', () => {
    expect(at({ type: 'step-finished', step: 'after' })).toMatchObject({ stage: 'explain' });
  });

  test('the findings before the last judgement are kept apart', () => {
    const p = at(judged(1, finding('puff.seal', 'partial')), judged(2, finding('puff.seal', 'missed')));
    expect(p.before).toMatchObject([{ label: 'partial' }]);
    expect(p.findings).toMatchObject([{ label: 'missed' }]);
  });
});

test('what was understood stays understood', () => {
  expect(
    merge(
      [finding('a', 'understood'), finding('b', 'partial')],
      [finding('a', 'missed'), finding('b', 'missed')],
    ),
  ).toMatchObject([
    { concept: 'a', label: 'understood' },
    { concept: 'b', label: 'missed' },
  ]);
});

test('critical and key concepts must be understood, helpful ones need not', () => {
  expect(
    stillMissed(lesson, 'puff', [finding('puff.shake', 'understood'), finding('puff.seal', 'partial')]),
  ).toEqual(['puff.seal', 'puff.slow']);
});

describe('where a visit goes on', () => {
  const finished = (s: string): VisitFact => ({ type: 'step-finished', step: s });
  const shown = (point: string, is: boolean): VisitFact => ({ type: 'show-me', point, shown: is });
  test.each([
    ['sound-check', [begun[0] as VisitFact]],
    ['first-question', begun],
    ['teaching', [...begun, started]],
    ['teaching', [...begun, started, finished('puff')]],
    ['show-me', [...begun, started, finished('puff'), finished('after')]],
    ['show-me', [...begun, started, finished('puff'), finished('after'), shown('shakes', true)]],
    [
      'summary',
      [...begun, started, finished('puff'), finished('after'), shown('shakes', true), shown('seals', false)],
    ],
    ['ended', [...begun, { type: 'finished', how: 'stopped' }]],
  ] as [string, VisitFact[]][])('%s', (place, facts) => {
    expect(placeOf(lesson, start, facts)).toBe(place);
  });

  test('the next step is the first unfinished one in the order of the visit', () => {
    expect(nextStep(start, [finished('puff')])).toBe('after');
    expect(nextStep({ ...start, steps: ['after', 'puff'] }, [])).toBe('after');
    expect(nextStep(start, [finished('puff'), finished('after')])).toBe(null);
  });

  test('the latest tick of a show-me point counts', () => {
    expect(shownPoints([shown('a', false), shown('b', true), shown('a', true)])).toEqual({
      a: true,
      b: true,
    });
  });
});

test('the outcome lists what was understood and what was handed over', () => {
  expect(
    outcome(lesson, start, [
      judged(1, finding('puff.shake', 'understood'), finding('puff.seal', 'missed')),
      { type: 'handed-over', step, concepts: ['puff.seal'] },
    ]),
  ).toEqual({ understood: ['puff.shake'], handedOver: ['puff.seal'] });
});
