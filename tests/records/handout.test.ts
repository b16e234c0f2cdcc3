import { expect, test } from 'vitest';
import { derive } from '../../src/records/derive';
import { handoutOf } from '../../src/records/handout';
import { logOf, started, texts, wholeVisit } from './fixtures';

const whole = handoutOf(derive(logOf(wholeVisit), texts), texts);

test('the handout practises first what was missed, what was contradicted put right before all', () => {
  expect(whole.practiseFirst).toEqual([
    {
      concept: 'lamp.light.shake',
      label: 'Shake well',
      outcome: 'needs-person',
      sentences: ['It does need a shake.', 'Shake well, told anew.'],
    },
    {
      concept: 'lamp.light.lips',
      label: 'Lips tight',
      outcome: 'after-reteach',
      sentences: ['Lips tight, told anew.'],
    },
  ]);
});

test('the handout shows each step with picture and few words, slots filled, and stresses the missed one', () => {
  expect(whole.steps).toEqual([
    {
      step: 'light',
      title: 'Take a puff',
      picture: 'lamp/light.svg',
      pictureText: 'A hand shakes.',
      sentences: ['Shake blue mist.', 'Lips tight.'],
      stressed: true,
    },
    {
      step: 'care',
      title: 'Care for it',
      picture: 'lamp/care.svg',
      pictureText: 'Water runs.',
      sentences: ['Rinse it.'],
      stressed: false,
    },
  ]);
});

test('the handout says when to call whom, and that maker and care team come first', () => {
  expect(whole.whenToCall).toEqual({
    sentences: ['Call the Harbor 4 team at 555-0142 any time.'],
    callNumber: '555-0142',
    emergencyNumber: '555-0100',
    careTeam: 'the Harbor 4 team',
  });
  expect(whole.cautions.join(' ')).toMatch(/leaflet that came with your device.*Harbor 4 team.*555-0100/);
  expect(whole.care).toEqual(['Rinse it each week.']);
});

test('the handout has date, language, kept questions and says that its texts are not reviewed', () => {
  expect(whole).toMatchObject({
    language: 'en',
    date: '2026-03-02T14:00:00.000Z',
    learner: 'Ines Marlow',
    questions: ['Can my <b>dog</b> have some?'],
    unreviewed: true,
    practice: false,
  });
});

test('a visit on two steps hands out these two and no others', () => {
  const { steps } = handoutOf(derive(logOf([started({ steps: ['care'] })]), texts), texts);
  expect(steps.map(({ step }) => step)).toEqual(['care']);
});

test('without a start the handout still stands, with its slots open to the eye', () => {
  const { learner, date, steps } = handoutOf(derive([], texts), texts);
  expect([learner, date]).toEqual(['', null]);
  expect(steps[0]?.sentences[0]).toBe('Shake {medicine}.');
});
