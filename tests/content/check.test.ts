import { isDeepStrictEqual } from 'node:util';
import { describe, expect, it } from 'vitest';
import { readCommon, readJudging, readModule, readTeaching } from '../../phrasebanks/read';
import { checkContent, picturesHere, problemsOf } from '../../src/content/check';
import { type LanguageFiles, sameAnswers } from '../../src/content/complete';

it('finds nothing to change in the phrasebanks', { timeout: 120_000 }, () => {
  const { portraits, problems } = checkContent();
  expect(problems).toEqual([]);
  expect(portraits.length).toBeGreaterThan(0);
});

// Every check must be able to fail: one slip at a time in a module that is clean.
describe('the check of content', () => {
  const pictures = picturesHere();
  const read: LanguageFiles = {
    module: readModule('inhaler-spacer'),
    teaching: readTeaching('inhaler-spacer', 'en'),
    judging: readJudging('inhaler-spacer', 'en'),
    common: readCommon('en'),
  };
  const clean = (): LanguageFiles => structuredClone(read);
  const after = (slip: (files: LanguageFiles) => void): string[] => {
    const files = clean();
    slip(files);
    // Patterns are compiled once a file: one that the slip left alone need not be compiled again.
    if (isDeepStrictEqual(files.judging, read.judging)) files.judging = read.judging;
    return problemsOf(files, pictures).map(({ file, path, problem }) => `${file} ${path}: ${problem}`);
  };
  // biome-ignore-start lint/suspicious/noAssignInExpressions: one slip a line reads best.
  const slips: [string, (files: LanguageFiles) => unknown, RegExp][] = [
    [
      'a missing concept',
      ({ teaching }) => void delete teaching.concepts['inhaler-spacer.puff.hold'],
      /concepts: concept "inhaler-spacer.puff.hold" is missing/,
    ],
    [
      'an unknown step',
      ({ teaching }) => (teaching.steps.pufff = teaching.steps.puff!),
      /steps: step "pufff" is unknown/,
    ],
    [
      'a missing picture',
      ({ module }) => (module.steps[0]!.picture = 'inhaler-spacer/none.svg'),
      /none\.svg does not exist/,
    ],
    ['no source', ({ module }) => (module.sources = []), /sources: there is none/],
    [
      'an unknown slot',
      ({ teaching }) => (teaching.steps.puff!.teach[0] = 'Take your {medicin}.'),
      /\{medicin\} is no slot/,
    ],
    [
      'another quantity than the module has',
      ({ judging }) => (judging.concepts['inhaler-spacer.puff.hold']!.quantities = []),
      /quantities: \[\] differs/,
    ],
    [
      'a question for no part',
      ({ teaching }) => (teaching.concepts['inhaler-spacer.puff.hold']!.askPart = { nothing: 'How long?' }),
      /part "nothing" is unknown/,
    ],
    [
      'a mistake without a kind word',
      ({ teaching }) => (teaching.concepts['inhaler-spacer.puff.hold']!.correct = {}),
      /correct: mistake ".+" is missing/,
    ],
    [
      'too few answers',
      ({ teaching }) => void teaching.answers.splice(5),
      /answers: 5 approved answers; at least 12/,
    ],
    [
      'a long sentence',
      ({ teaching }) => (teaching.steps.puff!.teach[0] = `Take ${'one more '.repeat(9)}puff.`),
      /steps\.puff\.teach\[0\]: 20 words/,
    ],
    [
      'two sentences in a caption',
      ({ teaching }) => (teaching.steps.puff!.teach[0] = 'Sit up. Breathe out.'),
      /one caption is one sentence/,
    ],
    [
      'a step that takes too long',
      ({ teaching }) => void teaching.steps.puff!.teach.push(...Array(20).fill('Sit up and breathe out.')),
      /steps\.puff\.teach: takes \d+ s/,
    ],
    [
      'a closed question',
      ({ teaching }) => (teaching.steps.puff!.question = 'Do you know how to take a puff?'),
      /question: can be answered with yes or no/,
    ],
    ['blame', ({ teaching }) => (teaching.steps.puff!.teach[0] = 'You did it wrong.'), /"wrong" blames/],
    [
      'a word of the trade',
      ({ teaching }) => (teaching.steps.puff!.teach[0] = 'Exhale first.'),
      /"exhale" is a word of the trade/,
    ],
    [
      'hard words',
      ({ teaching }) =>
        (teaching.steps.puff!.teach = Array(6).fill('Preparation necessitates deliberate administration.')),
      /Flesch-Kincaid grade \d/,
    ],
    [
      'two ways that are one',
      ({ teaching }) =>
        (teaching.concepts['inhaler-spacer.puff.hold']!.again[1] =
          teaching.concepts['inhaler-spacer.puff.hold']!.again[0]),
      /the two ways share most/,
    ],
    [
      'an accepted phrase that says nothing',
      ({ judging }) => (judging.concepts['inhaler-spacer.puff.hold']!.accept[0] = 'Nice weather today.'),
      /puff\.hold"\]\.accept\[0\]: "Nice weather today\." is judged missed/,
    ],
    [
      'an accepted phrase that says more',
      ({ judging }) =>
        (judging.concepts['inhaler-spacer.puff.hold']!.accept[0] =
          'Close my lips tight around the mouthpiece and hold my breath for ten seconds.'),
      /also earns inhaler-spacer\.puff\.seal/,
    ],
    [
      'a mistake that reaches into the next point',
      ({ judging }) =>
        judging.concepts['inhaler-spacer.puff.seal']!.contradictions[0]!.any.push(
          'lips/mouthpiece press {14}',
        ),
      /puff\.seal"\]\.says: told together with the other points/,
    ],
    [
      'a mistake that passes',
      ({ judging }) =>
        (judging.concepts['inhaler-spacer.puff.hold']!.contradictions[0]!.says =
          'I hold my breath for ten seconds.'),
      /its patterns must find it/,
    ],
    [
      'a question that two answers claim',
      ({ teaching }) => teaching.answers[0]!.asks.push(teaching.answers[1]!.asks[0]!),
      /asks\[\d\]: ".+" finds no answer, as two are equally near/,
    ],
    [
      'a question that only its own wording keeps from another answer',
      ({ teaching }) =>
        teaching.answers[0]!.asks.push(`${teaching.answers[1]!.asks[0]!.slice(0, -1)} please?`),
      /would find ".+" if it were not listed|finds/,
    ],
  ];
  // biome-ignore-end lint/suspicious/noAssignInExpressions: see above.
  it.each(slips)('tells of %s', (_, slip, told) => {
    expect(after(slip).some((problem) => told.test(problem))).toBe(true);
  });

  it('tells when a language lacks an answer that another has', () => {
    const { teaching } = clean();
    const other = { ...teaching, language: 'es', answers: teaching.answers.slice(1) };
    expect(sameAnswers('inhaler-spacer', teaching, other)).toMatchObject([
      { file: 'phrasebanks/inhaler-spacer/es.teaching.json', path: 'answers' },
    ]);
  });
});
