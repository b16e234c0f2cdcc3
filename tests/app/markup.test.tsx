// @vitest-environment happy-dom
import { cleanup, render } from '@testing-library/react';
import { afterEach, expect, it } from 'vitest';
import { Handout } from '../../src/app/handout/Handout';
import { Summary } from '../../src/app/learner/Summary';
import { loadLesson } from '../../src/app/lessons';
import { practiceStart } from '../../src/app/practice';
import { WordsOf } from '../../src/app/shared/words';
import { readSite } from '../../src/app/site';
import { ReviewPage } from '../../src/app/staff/ReviewPage';
import { derive } from '../../src/records/derive';
import { handoutOf } from '../../src/records/handout';
import { summarize } from '../../src/records/summary';
import type { VisitFact } from '../../src/records/types';
import { atRest } from './view';

afterEach(cleanup);

/* What people type and say, and what a record server answers, is text wherever it is shown. */

const markup = (what: string) => `${what}<img src=x onerror="alert(1)"><script>alert(2)</script><b>bold</b>`;

const lesson = await loadLesson('inhaler-spacer', 'en');
const { screens } = lesson.common;
const step = lesson.module.steps[0]!;
const concept = step.concepts[0]!.id;
const asPracticed = practiceStart(readSite('{}').site, lesson);
const said = markup('I shake it');
const facts: VisitFact[] = [
  {
    type: 'visit-started',
    start: {
      ...asPracticed,
      practice: false,
      ward: markup('Harbor 4'),
      bed: markup('12'),
      staff: markup('R. Quillon'),
      recordNumber: markup('A-19'),
      learner: { role: 'caregiver', name: markup('Ines Marlow'), relation: markup('daughter') },
      particulars: {
        ...asPracticed.particulars,
        medicine: markup('the blue one'),
        careTeam: markup('your nurse'),
        callNumber: markup('555-0142'),
      },
    },
  },
  { type: 'step-started', step: step.id },
  { type: 'asked', step: step.id, attempt: 1, concepts: [concept], text: markup('Tell me') },
  {
    type: 'heard',
    step: step.id,
    attempt: 1,
    mode: 'voice',
    heard: { text: said, engine: 'embedded', confidence: 1, alternatives: [{ text: said, confidence: 1 }] },
    confirmed: null,
  },
  {
    type: 'judged',
    step: step.id,
    attempt: 1,
    findings: [
      {
        concept,
        label: 'missed',
        confidence: 0.9,
        evidence: [{ start: 0, end: said.length }],
        reason: markup('no word of it'),
      },
    ],
  },
  { type: 'question', text: markup('And at night?'), answer: null },
  { type: 'finished', how: 'completed' },
];
const record = derive(
  facts.map((fact, seq) => ({ visit: asPracticed.visit, seq, at: '2026-03-02T14:00:00.000Z', fact })),
  lesson,
);

const made = () => document.querySelectorAll('img[src="x"], script, b, [onerror]').length;

it('in the review of a visit', () => {
  render(<ReviewPage stored={{ record, lesson }} onDone={() => {}} onBack={() => {}} />);
  const { body } = document;
  for (const text of ['Ines Marlow', 'I shake it', 'And at night?'])
    expect(body.textContent).toContain(markup(text));
  expect(made()).toBe(0);
});

it('on the handout', () => {
  render(<Handout handout={handoutOf(record, lesson)} />);
  expect(document.body.textContent).toContain('<b>bold</b>');
  expect(made()).toBe(0);
});

it('on the summary', () => {
  const nothing = () => {};
  render(
    <WordsOf value={screens}>
      <Summary
        view={{ ...atRest, screen: 'ended', captions: [said] }}
        send={nothing}
        summary={summarize(record, lesson)}
        onPrint={nothing}
        onSave={nothing}
        onClinician={nothing}
        onClose={nothing}
      />
    </WordsOf>,
  );
  expect(document.body.textContent).toContain(said);
  expect(made()).toBe(0);
});
