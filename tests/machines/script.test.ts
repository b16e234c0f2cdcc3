import { describe, expect, test } from 'vitest';
import * as script from '../../machines/script';
import { readCommon } from '../../phrasebanks/read';
import type { Finding } from '../../src/scoring/types';
import { lesson, start } from './lesson';

const words = { lesson, start };
const byEar = { lesson, start: { ...start, audioOnly: true } };

const f = (concept: string, label: Finding['label'], more: Partial<Finding> = {}): Finding => ({
  concept,
  label,
  confidence: 0.9,
  evidence: [],
  reason: '',
  ...more,
});

test('slots are filled by name, unknown ones stay visible, and a filled value is not filled again', () => {
  expect(script.fill('Take {medicine} {x}', { medicine: '{callNumber}', callNumber: '1' })).toBe(
    'Take {callNumber} {x}',
  );
});

test('the slots of the visit are filled in every text', () => {
  expect(script.explain(words, 'puff')).toEqual([
    'stepCount 1 2',
    'stepLead The puff',
    'Teach puff one.',
    'Teach puff two with the blue one.',
  ]);
});

test.each([
  ['en', 'I shake it.', 'I heard this: I shake it.'],
  ['en', 'how do I clean it?', 'I heard this: how do I clean it?'],
  ['en', 'Shake it! ', 'I heard this: Shake it.'],
  ['es', 'La agito ... ', 'Esto fue lo que oí: La agito.'],
  ['es', '¿La agito?', 'Esto fue lo que oí: ¿La agito?'],
  ['fr', 'Je le secoue', 'J’ai entendu ceci\u00a0: Je le secoue.'],
])('what was heard is said back with one stop (%s: %s)', (language, text, says) => {
  const own = { start, lesson: { ...lesson, common: readCommon(language) } };
  expect(script.sayBack(own, text)).toEqual([says]);
});

test('a prompt that the phrasebank lacks is left out, and named by the check', () => {
  const bare = { ...lesson, common: { ...lesson.common, prompts: { welcome: 'Hello.' } } };
  expect(script.prompt({ lesson: bare, start }, 'paused')).toEqual([]);
  expect(script.missingPrompts(bare.common)).toContain('paused');
  expect(script.missingPrompts(lesson.common)).toEqual([]);
});

describe('the question', () => {
  test('is the open one of the step on the first try', () => {
    expect(script.question(words, 'puff', 1, ['puff.shake'], [])).toEqual(['Question puff?']);
  });
  test('asks for what is missing alone after that, the missing part if there is just one', () => {
    expect(
      script.question(
        words,
        'puff',
        2,
        ['puff.seal', 'puff.slow'],
        [f('puff.seal', 'missed'), f('puff.slow', 'partial', { missing: 'part' })],
      ),
    ).toEqual(['Ask puff.seal?', 'Ask part puff.slow?']);
  });
  test('asks for the concept when the part has no question of its own', () => {
    expect(
      script.question(words, 'puff', 2, ['puff.slow'], [f('puff.slow', 'partial', { missing: 'other' })]),
    ).toEqual(['Ask puff.slow?']);
  });
});

describe('teaching again', () => {
  const needed = ['puff.shake', 'puff.seal', 'puff.slow'];
  const again = (attempt: number, findings: Finding[], before: Finding[] = []) =>
    script.reteach(
      words,
      {
        step: 'puff',
        attempt,
        missed: needed.filter((c) => findings.find((x) => x.concept === c)?.label !== 'understood'),
        findings,
        before,
      },
      needed,
    );

  test('puts a wrong belief right before it teaches', () => {
    expect(
      again(1, [
        f('puff.shake', 'understood'),
        f('puff.seal', 'understood'),
        f('puff.slow', 'misconception', { contradiction: 'opposite' }),
      ]),
    ).toEqual(['creditLead', 'teachAgainLead', 'Correct puff.slow.', 'Again one puff.slow.', 'tellMeThat']);
  });
  test('gives no credit where there was none', () => {
    expect(again(1, [])[0]).toBe('teachAgainLead');
  });
  test('never teaches again what was understood', () => {
    const said = again(2, [f('puff.shake', 'understood')]).join(' ');
    expect(said).not.toContain('puff.shake');
    expect(said).toContain('Again two puff.seal.');
  });
  test('uses the simplest words only on the last try and when nothing came', () => {
    expect(again(1, [])).not.toContain('Simplest puff.');
    expect(again(2, [])).toContain('Simplest puff.');
    expect(again(2, [f('puff.seal', 'partial', { missing: 'part' })])).not.toContain('Simplest puff.');
  });
});

describe('audio only', () => {
  test('what can be said or pressed is spoken too', () => {
    expect(script.ask(byEar, 'puff', 1, [], []).at(-1)).toBe('canSayAnswer');
    expect(script.confirm(byEar, 'x').at(-1)).toBe('canSayYesNo');
    expect(script.trouble(byEar, 'denied').at(-1)).toBe('canSayTrouble');
    expect(script.cards(byEar, [], []).at(-1)).toBe('canSayCards');
    expect(script.paused(byEar).at(-1)).toBe('canSayPaused');
    expect(script.showMe(byEar).at(-1)).toBe('canSayShowMe');
    expect(script.welcome(byEar).at(-1)).toBe('canSayYesNo');
  });
  test('and not otherwise', () => {
    expect(script.ask(words, 'puff', 1, [], []).join(' ')).not.toContain('canSay');
  });
});

test('who uses switches is told how, before the first question', () => {
  const told = (keys: 'one' | 'two') =>
    script.welcome({ lesson, start: { ...start, practice: false, switches: { keys, each: 2000 } } });
  expect(told('one')).toEqual(['welcome', 'switchOne', 'soundCheck']);
  expect(told('two')).toEqual(['welcome', 'switchTwo', 'soundCheck']);
});

test('cards are asked for in order only where the order matters', () => {
  const order = [{ id: 'x', first: 'puff.shake', next: 'puff.seal', says: 'Told late.' }];
  const ordered = { ...words, lesson: { ...lesson, judging: { order } } };
  expect(script.cards(ordered, [], ['puff.shake', 'puff.seal'])).toEqual(['cardsOrder']);
  expect(script.cards(ordered, [], ['puff.seal'])).toEqual(['cardsLead']);
  expect(script.cards(words, [], ['puff.shake', 'puff.seal'])).toEqual(['cardsLead']);
});

test('the summary names what was said well and what a person will go over, and when to call', () => {
  expect(script.summary(words, ['puff.shake', 'puff.seal'], ['puff.slow'])).toEqual([
    'summaryLead',
    'summaryWell',
    'label puff.shake.',
    'label puff.seal.',
    'summaryPerson',
    'label puff.slow.',
    'whenToCallLead',
    'Call 555-0100 when worse.',
  ]);
  expect(script.summary(words, [], []).join(' ')).not.toMatch(/summaryWell|summaryPerson/);
});

test('practice is announced only on a practice visit', () => {
  expect(script.welcome(words)).toContain('practiceNote');
  expect(script.welcome({ lesson, start: { ...start, practice: false } })).not.toContain('practiceNote');
});
