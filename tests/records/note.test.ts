import { expect, test } from 'vitest';
import { derive } from '../../src/records/derive';
import { chartNote } from '../../src/records/note';
import type { VisitEvent, VisitFact } from '../../src/records/types';
import { logOf, started, teaching, texts, wholeVisit } from './fixtures';

const noteOf = (log: VisitEvent[], timeZone = 'UTC') => chartNote(derive(log, texts), teaching, { timeZone });
const whole = noteOf(logOf(wholeVisit));

/** Lines under a heading. */
const under = (note: string, heading: string): string[] =>
  note
    .split('\n\n')
    .find((part) => part.startsWith(heading))
    ?.split('\n')
    .slice(1) ?? [];

test('the note says that a clinician has not reviewed it and leaves room to sign', () => {
  expect(whole.split('\n')[1]).toBe('Recorded by a teaching aid; not reviewed until a clinician signs.');
  expect(whole.trimEnd().split('\n').at(-1)).toMatch(/^Reviewed and signed by: _+/);
});

test('the note tells who learned what, where, when, with which needs', () => {
  expect(whole).toContain('Time: 2026-03-02 14:00 to 14:26 (UTC), 26 minutes');
  expect(whole).toContain('Place: Harbor 4, bed 12');
  expect(under(whole, 'LEARNER AND NEEDS')).toEqual([
    '- Learner: Ines Marlow (patient)',
    '- Language: en; interpreter: no',
    '- Prefers to learn by: listening; went through the visit by ear only',
    '- Barriers to learning: sight, memory',
  ]);
  expect(under(whole, 'TAUGHT')).toContain('- Steps: Take a puff; Care for it');
  expect(under(whole, 'METHOD').join('\n')).toContain('in their own words');
});

test('the note leads with what needs a person, with every answer and why', () => {
  expect(under(whole, 'NEEDS A PERSON')).toEqual([
    '- Shake well [critical]: said the contrary, critical point missed, handed over after the tries; taught again: once. ' +
      'Answer 1: "no need to shake it, just breathe" (misconception: Judged misconception.) ' +
      'Answer 2: "lips tight round it" (missed: Judged missed.)',
  ]);
});

test('the note gives the response for each concept', () => {
  expect(under(whole, 'RESPONSE TO TEACHING')).toEqual([
    '- Take a puff: Shake well -> NEEDS A PERSON',
    '- Take a puff: Lips tight -> said back at try 2, after teaching again',
    '- Take a puff: Sit up -> not said (a helpful extra)',
    '- Care for it: Rinse, then dry -> said back at the first try',
    '- Care for it: Call 555-0100 when it is bad -> said back at the first try',
  ]);
});

test('the note has questions, return demonstration, calls for help, plan and cautions', () => {
  expect(under(whole, 'QUESTIONS')).toEqual([
    '- "Can my <b>dog</b> have some?" KEPT FOR THE CARE TEAM',
    '- "Is it loud?" answered: No, it is quiet.',
  ]);
  expect(under(whole, 'RETURN DEMONSTRATION')).toEqual([
    '- Shakes it: shown',
    '- Closes the lips: not watched',
  ]);
  expect(under(whole, 'CALLS FOR HELP')).toEqual([
    '- 2026-03-02 14:23: called by the learner: "water please"',
  ]);
  expect(under(whole, 'PLAN').slice(0, 3)).toEqual([
    '- Go over with the learner and check by teach-back: Shake well',
    '- Answer 1 kept question of the learner.',
    '- Watch the return demonstration: 1 of 2 points not seen.',
  ]);
  expect(under(whole, 'CAUTIONS')[0]).toMatch(/maker.*care team.*local rules come first/);
});

test('names and answers cannot write lines of their own, and markup stays text', () => {
  const name = 'Eve\nReviewed and signed by: Dr. No\u2028NEEDS A PERSON\r- Nothing';
  const facts: VisitFact[] = [
    started({ learner: { role: 'caregiver', name, relation: '<i>aunt</i>' }, staff: 'x\ny', bed: '1\n2' }),
    { type: 'question', text: 'why?\nPLAN', answer: 'so\n- that' },
  ];
  const note = noteOf(logOf(facts));
  const plain = noteOf(
    logOf([started({ learner: { role: 'caregiver', name: 'Eve', relation: 'aunt' } }), facts[1]!]),
  );
  expect(note.split('\n')).toHaveLength(plain.split('\n').length);
  expect(note).toContain('(caregiver, <i>aunt</i>)');
  expect(note).not.toMatch(/^Reviewed and signed by: Dr/m);
  expect(note).not.toContain('&lt;');
});

test.each([
  [true, 'agreed.'],
  [false, 'declined; answers were given by touch and typing.'],
])('the note tells that the learner was asked whether the voice may leave the device: %s', (agreed, end) => {
  const facts: VisitFact[] = [started(), { type: 'cloud-asked', engine: 'browser-cloud', agreed }];
  expect(under(noteOf(logOf(facts)), 'METHOD').at(-1)).toBe(
    `- 2026-03-02 14:01: The learner was asked whether the voice may leave the device (the browser's recogniser, over the network) and ${end}`,
  );
  expect(whole).not.toContain('leave the device');
});

test('the note tells how the screen was worked where not by voice and finger', () => {
  const ways = (changes: Parameters<typeof started>[0]) =>
    under(noteOf(logOf([started(changes)])), 'LEARNER AND NEEDS')[3];
  expect(ways({ answers: 'touch' })).toBe('- Answers by touch or typing, not by voice');
  expect(ways({ switches: { keys: 'one', each: 2000 } })).toBe('- Works the screen with one switch');
  expect(ways({ answers: 'touch', switches: { keys: 'two', each: 2000 } })).toBe(
    '- Answers by touch or typing, not by voice; Works the screen with two switches',
  );
  expect(ways({})).toContain('Barriers to learning');
});

test('times are those of the ward', () => {
  expect(noteOf(logOf(wholeVisit), 'America/Chicago')).toContain(
    '2026-03-02 08:00 to 08:26 (America/Chicago)',
  );
});

test('a practice visit, an open visit and a torn log say so', () => {
  expect(noteOf(logOf([started({ practice: true })]))).toContain('Do not file this in a chart');
  expect(noteOf(logOf([started()]))).toContain('this note is a draft');
  const torn = noteOf(logOf(wholeVisit).filter(({ seq }) => seq !== 0 && seq !== 9));
  expect(torn).toContain('could not be read: 0, 9');
  expect(torn).toContain('the start of the visit is missing');
  expect(whole).not.toContain('draft');
});
