import { describe, expect, test } from 'vitest';
import { needed } from '../../machines/progress';
import * as script from '../../machines/script';
import type { Lesson } from '../../machines/types';
import { languagesOf, modules, readCommon, readModule, readTeaching } from '../../phrasebanks/read';
import type { Finding } from '../../src/scoring/types';
import { start } from './lesson';

/*
 * What a visit would really say, made from the phrasebanks: no slot is left open and no turn is silent.
 */

const lessons = modules().flatMap((name) => languagesOf(name).map((language) => [name, language] as const));

test('there is a lesson to check', () => {
  expect(lessons.length).toBeGreaterThan(0);
});

describe.each(lessons)('%s in %s', (name, language) => {
  const lesson: Lesson = {
    module: readModule(name),
    teaching: readTeaching(name, language),
    common: readCommon(language),
  };
  const words: script.Words = { lesson, start: { ...start, language, module: name, audioOnly: true } };

  test.each(lesson.module.steps.map((s) => s.id))(
    '%s: every turn has something to say and no open slot',
    (step) => {
      const concepts = script.conceptsOf(lesson, step).map((c) => c.id);
      const must = needed(lesson, step);
      const all = (label: Finding['label'], contradiction?: string): Finding[] =>
        concepts.map((concept) => ({
          concept,
          label,
          confidence: 1,
          evidence: [],
          reason: '',
          ...(contradiction === undefined ? {} : { contradiction }),
        }));
      const turns: Record<string, string[]> = {
        explain: script.explain(words, step),
        ask: script.ask(words, step, 1, concepts, []),
        praise: script.praise(words, 0, all('understood')),
        handover: script.handover(words, must),
      };
      for (const concept of must) {
        turns[`ask ${concept}`] = script.ask(words, step, 2, [concept], [], ['didNotHear']);
        const texts = lesson.teaching.concepts[concept];
        for (const part of Object.keys(texts?.askPart ?? {})) {
          turns[`ask ${concept} ${part}`] = script.question(
            words,
            step,
            2,
            [concept],
            all('partial').map((f) => ({ ...f, missing: part })),
          );
        }
        for (const attempt of [1, 2]) {
          for (const contradiction of [undefined, ...Object.keys(texts?.correct ?? {})]) {
            turns[`teach ${concept} ${attempt} ${contradiction}`] = script.reteach(
              words,
              {
                step,
                attempt,
                missed: [concept],
                findings: all(contradiction === undefined ? 'missed' : 'misconception', contradiction),
                before: [],
              },
              must,
            );
          }
        }
      }
      const bad = Object.entries(turns).filter(
        ([, sentences]) => sentences.length === 0 || sentences.some((s) => /[{}]/.test(s) || s.trim() === ''),
      );
      expect(bad).toEqual([]);
    },
  );

  test('the rest of the visit has no open slot either', () => {
    const said = [
      script.welcome(words),
      script.showMe(words),
      script.paused(words),
      script.summary(words, Object.keys(lesson.teaching.concepts), Object.keys(lesson.teaching.concepts)),
      ...lesson.teaching.answers.map((a) => script.answer(words, a.says)),
      script.answer(words, null),
      script.trouble(words, 'denied'),
      script.prompt(words, 'helpComing'),
      script.prompt(words, 'distressHelp'),
    ];
    expect(said.filter((s) => s.length === 0)).toEqual([]);
    expect(said.flat().filter((s) => /[{}]/.test(s))).toEqual([]);
  });
});
