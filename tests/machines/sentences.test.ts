import { expect, test } from 'vitest';
import { promptKeys, promptSlots } from '../../machines/prompts';
import * as script from '../../machines/script';
import { sentencesOf } from '../../machines/sentences';
import { judgedIn, readCommon, readModule, readTeaching } from '../../phrasebanks/read';
import type { WordSlots } from '../../phrasebanks/schema';
import type { Finding } from '../../src/scoring/types';
import { visit } from './harness';
import { lesson, start } from './lesson';

/** Says something that no recording could hold: the learner's own words. */
const everNew = (text: string, words: script.Words) =>
  promptKeys.some((key) => {
    const [slot] = promptSlots[key];
    if (slot !== 'text') return false;
    const [before = '', after = ''] = script
      .prompt(words, key, { [slot]: '\0' })
      .join(' ')
      .split('\0');
    return text.startsWith(before) && text.endsWith(after);
  });

test('a whole visit says nothing but what is listed and what the learner said', async () => {
  const listed = new Set(sentencesOf(lesson, start.particulars).map(({ text }) => text));
  const { world } = await visit({ start: { audioOnly: true } })
    .starts()
    .hears('yes')
    .hears('no')
    .reaches('explain')
    .presses('ASK')
    .hears('how to wash it')
    .reaches('explain')
    .hears('i shake it', { 'puff.shake': 'understood', 'puff.seal': 'misconception:opposite' })
    .hears('lips', { 'puff.seal': 'partial:part' })
    .hears('dunno')
    .reaches('explain')
    .hears('rinse', { 'after.rinse': 'understood' })
    .reaches('show-me')
    .waits(3000)
    .presses('GO_ON')
    .waits(20_000);
  const words = { lesson, start };
  const unlisted = [...new Set(world.said)].filter((text) => !listed.has(text));
  expect(world.said.length).toBeGreaterThan(40);
  expect(unlisted.length).toBeGreaterThan(0);
  expect(unlisted.filter((text) => !everNew(text, words))).toEqual([]);
});

const lessons = ['en', 'es', 'fr'].flatMap((language) =>
  judgedIn(language).map((module) => ({ language, module })),
);

test.each(lessons)('what $module in $language can say of its steps is listed', ({ language, module }) => {
  const common = readCommon(language);
  const real = { module: readModule(module), teaching: readTeaching(module, language), common };
  const particulars = {
    ...(common.slots as WordSlots),
    callNumber: '555-0142',
    emergencyNumber: '911',
  };
  const steps = real.module.steps.map(({ id }) => id);
  const words = {
    lesson: real,
    start: { ...start, language, module, steps, particulars, audioOnly: true },
  };
  const list = sentencesOf(real, particulars);
  const listed = new Set(list.map(({ text }) => text));
  expect(listed.size).toBe(list.length);
  expect(new Set(list.map(({ place }) => place)).size).toBe(list.length);
  expect(list.filter(({ text }) => /[{}]/.test(text))).toEqual([]);

  const said = real.module.steps.flatMap(({ id, concepts }) => {
    const all = concepts.map((concept) => concept.id);
    const findings = (label: Finding['label'], detail: Partial<Finding> = {}) =>
      all.map((concept): Finding => ({ concept, label, confidence: 1, evidence: [], reason: '', ...detail }));
    const wrong = all.flatMap((concept) =>
      Object.keys(real.teaching.concepts[concept]?.correct ?? {}).map((contradiction): Finding[] => [
        { concept, label: 'misconception', contradiction, confidence: 1, evidence: [], reason: '' },
      ]),
    );
    const parts = all.flatMap((concept) =>
      Object.keys(real.teaching.concepts[concept]?.askPart ?? {}).map((missing): Finding[] => [
        { concept, label: 'partial', missing, confidence: 1, evidence: [], reason: '' },
      ]),
    );
    const again = (attempt: number, missed: string[]) =>
      script.reteach(words, { step: id, attempt, missed, findings: findings('missed'), before: [] }, all);
    return [
      ...script.explain(words, id),
      ...script.ask(words, id, 1, all, []),
      ...all.flatMap((concept) => script.ask(words, id, 2, [concept], findings('missed'))),
      ...parts.flatMap((found) => script.question(words, id, 2, [found[0]!.concept], found)),
      ...wrong.flatMap((found) => script.praise(words, 1, found)),
      ...again(1, all),
      ...again(2, all),
      ...all.flatMap((concept) => again(2, [concept])),
    ];
  });
  said.push(
    ...script.welcome(words),
    ...script.welcome(words, true),
    ...script.cloud(words),
    ...script.trouble(words, 'no-device'),
    ...script.showMe(words),
    ...script.paused(words),
    ...script.summary(words, [], []),
    ...real.teaching.answers.flatMap(({ says }) => script.answer(words, says)),
    ...script.cards(words, [], [], true),
  );
  expect(said.filter((text) => !listed.has(text))).toEqual([]);
});

test('a sentence tells which of its words a visit may change', () => {
  const list = sentencesOf(lesson, start.particulars);
  expect(list.find(({ place }) => place === 'spacer/puff/teach/2')).toMatchObject({
    text: 'Teach puff two with the blue one.',
    slots: ['medicine'],
    role: 'teach',
    group: { kind: 'step', title: 'The puff' },
  });
});

test('what is said around every lesson has the same places in all of them', () => {
  const alone = sentencesOf({ common: lesson.common }, start.particulars);
  expect(alone.every(({ place }) => place.startsWith('common/'))).toBe(true);
  expect(sentencesOf(lesson, start.particulars).slice(0, alone.length)).toEqual(alone);
  expect(alone.map(({ text }) => text)).not.toContain('thinking');
});
