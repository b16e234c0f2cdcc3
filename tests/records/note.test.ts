import { describe, expect, test } from 'vitest';
import { derive } from '../../src/records/derive';
import { chartNote } from '../../src/records/note';
import type { VisitEvent, VisitFact } from '../../src/records/types';
import { decided, logOf, rue, signed, started, teaching, texts, visitId, wholeVisit } from './fixtures';

const noteOf = (log: VisitEvent[], timeZone = 'UTC') => chartNote(derive(log, texts), teaching, { timeZone });
const whole = noteOf(logOf(wholeVisit));

/** Lines under a heading. */
const under = (note: string, heading: string): string[] =>
  note
    .split('\n\n')
    .find((part) => part.startsWith(heading))
    ?.split('\n')
    .slice(1) ?? [];

test('the note tells who learned what, where, when, with which needs', () => {
  expect(whole).toContain('Time: 2026-03-02 14:00 to 14:26 UTC, 26 minutes; completed');
  expect(whole).toContain('Place: Harbor 4, bed 12');
  expect(under(whole, 'LEARNER AND NEEDS')).toEqual([
    '- Learner: Ines Marlow (patient)',
    '- Language: English; interpreter: no',
    '- Prefers to learn by: listening; went through the visit by ear only',
    '- Barriers to learning: sight, memory',
  ]);
  expect(under(whole, 'TAUGHT')).toEqual([
    '- Inhaler practice: Take a puff; Care for it',
    '- Entered for this learner: medicine "blue mist", times a day "2", number to call 555-0142',
    "- Method: teach-back at a kiosk. Each step was explained and asked back in the learner's own words; only what was missed was taught again.",
    '- Answers: 3 by voice (the built-in recogniser, on the device)',
  ]);
});

test('the note tells what needs a person: how its answers went, which stand once for the whole step', () => {
  expect(under(whole, 'NEEDS A PERSON')).toEqual([
    '- Shake well (critical): said the opposite in answer 1, not said in answer 2; taught again once; handed over after the tries',
  ]);
  expect(under(whole, "THE LEARNER'S ANSWERS")).toEqual([
    '- Take a puff: (1) "no need to shake it, just breathe"; (2) "lips tight round it"',
  ]);
});

test('the note tells of a step in a line how it went', () => {
  expect(under(whole, 'RESPONSE TO TEACHING')).toEqual([
    '- Take a puff. NEEDS A PERSON: Shake well. Said back later: Lips tight. Not said (helpful extras): Sit up.',
    '- Care for it. Said back at the first try: all points.',
  ]);
});

test('the note has questions, return demonstration, calls for help, plan and cautions', () => {
  expect(under(whole, 'QUESTIONS')).toEqual([
    '- "Can my <b>dog</b> have some?" KEPT FOR THE CARE TEAM',
    '- "Is it loud?" Answered: No, it is quiet.',
  ]);
  expect(under(whole, 'RETURN DEMONSTRATION')).toEqual([
    '- Shown: Shakes it',
    '- Not watched: Closes the lips',
  ]);
  expect(under(whole, 'CALLS FOR HELP')).toEqual([
    '- 2026-03-02 14:23: called by the learner: "water please"',
  ]);
  expect(under(whole, 'PLAN').slice(0, 3)).toEqual([
    '- Go over with the learner and check by teach-back: Shake well',
    '- Answer the learner: "Can my <b>dog</b> have some?"',
    '- Watch the return demonstration, as words do not show technique: 1 of 2 points not seen.',
  ]);
  expect(under(whole, 'ABOUT THIS RECORD')).toEqual([
    '- Made by a teaching aid; speech was written down by a machine and may hold errors. It diagnoses nothing and changes no orders.',
    "- The device maker's instructions, the orders of the care team and local rules come first.",
    '- The teaching texts have not been reviewed by a clinician.',
    '- Care for it: an answer was not heard (nothing heard)',
    `- Visit ${visitId}, lesson lamp 1.0.0`,
  ]);
});

test('the same trouble in the same step is told once, with how often it came', () => {
  const unheard: VisitFact = { type: 'not-heard', step: 'care', reason: 'nothing-heard' };
  const note = noteOf(logOf([started(), unheard, unheard, unheard]));
  expect(note.match(/not heard/g)).toHaveLength(1);
  expect(note).toContain('- Care for it: an answer was not heard (nothing heard) (3 times)');
});

describe('what staff added', () => {
  const kept = wholeVisit.findIndex((fact) => fact.type === 'question' && fact.answer === null);
  const understood = decided('lamp.light.shake', 'understood', 'Showed me\ntwice.');
  const open = decided('lamp.care.call', 'needs-person', 'Read it off.');
  const added: VisitFact[] = [
    ...[understood, open],
    { type: 'answered', question: kept, answer: 'No.', by: rue },
    { type: 'show-me', point: 'seal', shown: true, by: rue },
  ];
  const note = noteOf(logOf([...wholeVisit, ...added]));

  test('a decision stands in the note with its reason, name, time and what the kiosk judged', () => {
    expect(under(note, 'DECIDED BY A CLINICIAN')).toEqual([
      '- Call 555-0100 when it is bad: needs a person. "Read it off." R. Quillon, 2026-03-02 14:28 (the kiosk: said at once)',
      '- Shake well: understood. "Showed me twice." R. Quillon, 2026-03-02 14:27 (the kiosk: needs a person)',
    ]);
    expect(whole).not.toContain('DECIDED');
  });

  test('the decision is what the rest of the note goes by', () => {
    expect(under(note, 'NEEDS A PERSON')).toEqual([
      '- Call 555-0100 when it is bad (critical): said; decided by R. Quillon, see below',
    ]);
    expect(under(note, 'RESPONSE TO TEACHING')).toEqual([
      '- Take a puff. Said back later: Lips tight. Confirmed by a clinician: Shake well. Not said (helpful extras): Sit up.',
      '- Care for it. NEEDS A PERSON: Call 555-0100 when it is bad. Said back at the first try: Rinse, then dry.',
    ]);
    expect(under(note, 'PLAN')).toEqual([
      '- Go over with the learner and check by teach-back: Call 555-0100 when it is bad',
      '- Give the handout and go over what it stresses.',
      '- Check the missed points again 48 to 72 hours after this visit.',
    ]);
  });

  test('answers, and what was seen later, name who and when', () => {
    expect(under(note, 'QUESTIONS')[0]).toBe(
      '- "Can my <b>dog</b> have some?" Answered by R. Quillon, 2026-03-02 14:29: No.',
    );
    expect(under(note, 'RETURN DEMONSTRATION')).toEqual([
      '- Shown: Shakes it; Closes the lips',
      '- Of these, 1 watched after the visit by R. Quillon',
    ]);
  });
});

describe('the signature', () => {
  const ends = (note: string) => [note.split('\n')[1], note.trimEnd().split('\n').at(-1)];
  const noteWith = (...added: VisitFact[]) => noteOf(logOf([...wholeVisit, ...added]));

  test('is missing: the note says so at the top and at the end', () => {
    expect(ends(whole)).toEqual([
      'NOT REVIEWED: no clinician has signed this.',
      'Not reviewed or signed yet.',
    ]);
  });

  test('stands at the end with name, date and time', () => {
    expect(ends(noteWith(signed()))).toEqual([
      'Time: 2026-03-02 14:00 to 14:26 UTC, 26 minutes; completed',
      'Reviewed and signed by R. Quillon, 2026-03-02 14:27 UTC',
    ]);
    expect(noteWith(signed())).not.toMatch(/not reviewed or signed|SUGGESTED/i);
  });

  test('does not vouch for what was added later', () => {
    const change = decided('lamp.care.call', 'needs-person', 'Read it off.');
    expect(ends(noteWith(signed(), change))).toEqual([
      'CHANGED SINCE IT WAS SIGNED: see the end.',
      'Changed since it was signed by R. Quillon, 2026-03-02 14:27 UTC. Not signed as it stands.',
    ]);
    expect(ends(noteWith(signed(), change, signed()))[1]).toMatch(/^Reviewed and signed by .*14:29 UTC$/);
  });

  test('is one line, whatever a name holds', () => {
    const name = 'Eve\nReviewed and signed by Dr. No';
    expect(ends(noteWith(signed({ name })))[1]).toBe(
      'Reviewed and signed by Eve Reviewed and signed by Dr. No, 2026-03-02 14:27 UTC',
    );
  });
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
  expect(under(noteOf(logOf(facts)), 'ABOUT THIS RECORD')).toContain(
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
  expect(noteOf(logOf(wholeVisit), 'America/Chicago')).toContain('2026-03-02 08:00 to 08:26 CST');
});

test('a practice visit, an open visit and a torn log say so', () => {
  expect(noteOf(logOf([started({ practice: true })]))).toContain('Do not file this in a chart');
  expect(noteOf(logOf([started()]))).toContain('this note is a draft');
  const torn = noteOf(logOf(wholeVisit).filter(({ seq }) => seq !== 0 && seq !== 9));
  expect(torn).toContain('could not be read: 0, 9');
  expect(torn).toContain('the start of the visit is missing');
  expect(whole).not.toContain('draft');
});
