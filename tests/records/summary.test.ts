import { describe, expect, test } from 'vitest';
import { readCommon } from '../../phrasebanks/read';
import { derive } from '../../src/records/derive';
import { summarize, toJson } from '../../src/records/summary';
import { summarySchema } from '../../src/records/summary-schema';
import type { VisitFact } from '../../src/records/types';
import { finding, logOf, started, teaching, texts, tried, wholeVisit } from './fixtures';

const whole = derive(logOf(wholeVisit), texts);
const { paper } = texts.common;
const of = (facts: VisitFact[]) => summarize(derive(logOf([started(), ...facts]), texts), texts);

describe('the summary for the learner', () => {
  test('says kindly what went well, what a person goes over, and whom to call', () => {
    expect(summarize(whole, texts).sentences).toEqual([
      'Thank you for going through this with me.',
      'You told me 3 of 4 parts in your own words.',
      'This went well: Care for it.',
      'A person will go over this with you: Shake well.',
      'That part is on us. We want to explain it better.',
      'I kept your question for the Harbor 4 team.',
      'If you have a question at home, call the Harbor 4 team at 555-0142.',
      'In an emergency, call 555-0100.',
    ]);
  });

  test('speaks of all parts when nothing is left, and blames no one', () => {
    const all = ['lamp.care.rinse', 'lamp.care.call'];
    const { sentences, person } = of([
      ...tried(
        'care',
        1,
        all,
        'rinse, dry, ring',
        all.map((each) => finding(each, 'understood')),
      ),
      { type: 'finished', how: 'completed' },
    ]);
    expect(sentences).toContain('You told me all 2 parts in your own words.');
    expect(sentences).toContain(
      'We did not get to this yet: Take a puff. A person will go over it with you.',
    );
    expect(person).toEqual([]);
    expect(sentences.join(' ')).not.toMatch(/on us/);
  });

  test('does not thank for own words who answered by cards alone', () => {
    const all = ['lamp.care.rinse', 'lamp.care.call'];
    const answered = (mode: 'touch' | 'voice') =>
      of(
        tried(
          'care',
          1,
          all,
          'rinse, dry, ring',
          all.map((each) => finding(each, 'understood')),
        ).map((fact) => (fact.type === 'heard' ? { ...fact, mode } : fact)),
      ).sentences;
    expect(answered('touch')).toContain('You showed me all 2 parts on the cards.');
    expect(answered('touch').join()).not.toContain('own words');
    expect(answered('voice').join()).toContain('own words');
  });

  test('names steps in place of points when a person has many points to go over', () => {
    const many = [
      'lamp.light.shake',
      'lamp.light.lips',
      'lamp.care.rinse',
      'lamp.care.call',
      'lamp.care.old',
    ];
    const missed = (step: string) => {
      const own = many.filter((each) => each.includes(step));
      return tried(
        step,
        1,
        own,
        'hm',
        own.map((each) => finding(each, 'missed')),
      );
    };
    const { sentences, person } = of([...missed('light'), ...missed('care')]);
    expect(sentences).toContain('A person will go over this with you: Take a puff; Care for it.');
    expect(person).toHaveLength(5);
  });

  test('of a visit that was stopped at once still says whom to call', () => {
    const { sentences } = of([{ type: 'finished', how: 'stopped' }]);
    expect(sentences[0]).toMatch(/stopped early, and that is fine/);
    expect(sentences.at(-1)).toBe('In an emergency, call 555-0100.');
  });

  test('never says wrong, failed or bad', () => {
    for (const sentence of Object.values(paper).flat()) {
      expect(sentence).not.toMatch(/\b(wrong|fail|failed|bad|mistake)\b/i);
    }
  });

  test('speaks the language of the visit', () => {
    const { sentences } = summarize(whole, { teaching, common: readCommon('es') });
    expect(sentences).toContain('Esto salió bien: Care for it.');
  });
});

test('the rows for the clinician say what was said, why it was judged so and how sure', () => {
  const { rows, counts } = summarize(whole, texts);
  expect(rows[0]).toEqual({
    concept: 'lamp.light.shake',
    step: 'Take a puff',
    label: 'Shake well',
    weight: 'critical',
    outcome: 'needs-person',
    review: ['misconception', 'critical-miss', 'handed-over'],
    answers: 2,
    retaught: 1,
    said: 'lips tight round it',
    reason: 'Judged missed.',
    confidence: 0.9,
  });
  expect(counts).toEqual({
    'first-try': 2,
    'after-reteach': 1,
    confirmed: 0,
    'needs-person': 1,
    'not-said': 1,
    'not-asked': 0,
  });
});

describe('the summary file', () => {
  test('keeps its own format through JSON', () => {
    const file = toJson(whole, paper);
    expect(summarySchema.parse(JSON.parse(JSON.stringify(file)))).toEqual(file);
    expect(file.format).toBe('ownwords-summary/2');
    expect(file.unreviewed).toBe(true);
  });

  test('holds the start, each outcome, each turn, questions, show-me and cautions', () => {
    const file = toJson(whole, paper);
    expect(file.start?.bed).toBe('12');
    expect(file.concepts.map(({ concept, outcome }) => `${concept} ${outcome}`)[0]).toBe(
      'lamp.light.shake needs-person',
    );
    expect(file.turns[0]).toMatchObject({
      step: 'light',
      attempt: 1,
      asked: 'Tell me about light.',
      heard: 'no need to shake it, just breathe',
      mode: 'voice',
      engine: 'embedded',
      findings: [
        { concept: 'lamp.light.shake', label: 'misconception' },
        { concept: 'lamp.light.lips', label: 'missed' },
        { concept: 'lamp.light.extra', label: 'missed' },
      ],
    });
    expect(file.questions).toHaveLength(2);
    expect(file.showMe[1]).toEqual({ point: 'seal', text: 'Closes the lips.', shown: null, later: null });
    expect(file.cautions).toContain('If you can hardly breathe, call 555-0100 at once.');
  });

  test('marks a practice visit', () => {
    expect(toJson(derive(logOf([started({ practice: true })]), texts), paper).practice).toBe(true);
  });

  test('of an empty log is valid and says that nothing is known', () => {
    expect(toJson(derive([], texts), paper)).toMatchObject({
      visit: null,
      start: null,
      state: 'open',
      minutes: 0,
    });
  });
});
