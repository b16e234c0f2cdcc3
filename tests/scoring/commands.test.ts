import { readFileSync } from 'node:fs';
import { describe, expect, it, test } from 'vitest';
import { commandNames } from '../../phrasebanks/commands';
import type { JudgingFile } from '../../phrasebanks/judging';
import { judgedIn, readCommon, readJudging } from '../../phrasebanks/read';
import {
  answersInstead,
  compileStep,
  interpret,
  judge,
  languagePack,
  phrasesFor,
  wordsOfAnswers,
  yesNo,
} from '../../src/scoring';

/*
 * What people say to the voice, and answers that hold the same words. `seen` and `kept` were written before the ways to
 * say a command were mended; `mended` holds three batches that were unseen when first tried and mended by after that;
 * `unseen` was tried once. `other` is by another author, who said nothing twice in ten batches of 37 or 38: what was
 * amiss in them led to better rules and to other ways of saying it, but none of their words stand in the lists. First
 * tried, they had 36, 31, 28 (en), 34, 25, 27 (es) and 34, 31, 29, 34, 29 (fr) commands right.
 */

interface Row {
  language: string;
  set: string;
  meaning: string;
  text: string;
}

const rows = (file: string): Row[] =>
  readFileSync(new URL(file, import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => {
      const [language = '', set = '', meaning = '', text = ''] = line.split('\t');
      return { language, set, meaning, text };
    });

const commons = new Map(['en', 'es', 'fr'].map((language) => [language, readCommon(language)]));
const commonOf = (language: string) => commons.get(language)!;
/** Of all modules together: it is not said which of them a row answers. */
const abouts = new Map(
  ['en', 'es', 'fr'].map((language) => [
    language,
    new Set(
      judgedIn(language).flatMap((module) => [
        ...wordsOfAnswers(readJudging(module, language), languagePack(language)!),
      ]),
    ),
  ]),
);

const files = new Map<string, JudgingFile>();
const judging = (module: string, language: string): JudgingFile => {
  const file = files.get(`${module} ${language}`) ?? readJudging(module, language);
  files.set(`${module} ${language}`, file);
  return file;
};

/** What the kiosk takes it for; words of distress call staff as a call for help does. */
function taken({ language, meaning, text }: Row): string {
  const common = commonOf(language);
  const pack = languagePack(language)!;
  const kind = meaning === 'yes' || meaning === 'no' ? 'yes-no' : 'answer';
  const found = interpret(text, common, kind, pack, abouts.get(language));
  if (found.kind === 'command') return found.command;
  if (found.kind === 'distress') return meaning === 'help' ? 'help' : 'distress';
  return (kind === 'yes-no' ? yesNo(text, common, pack) : null) ?? 'answer';
}

describe('utterances', () => {
  const all = rows('commands.tsv');
  describe.each(['en', 'es', 'fr'])('in %s', (language) => {
    const own = all.filter((row) => row.language === language);
    const share = (some: Row[]) => ({
      amiss: some
        .filter((row) => taken(row) !== row.meaning)
        .map((row) => `${row.text}: ${taken(row)}, not ${row.meaning}`),
      of: some.length,
    });

    const listed = own.filter(({ set }) => set !== 'other');
    const other = own.filter(({ set }) => set === 'other');

    it('are taken for commands where they are', () => {
      const { amiss, of } = share(listed.filter(({ meaning }) => meaning !== 'answer'));
      expect(of).toBeGreaterThanOrEqual(20);
      expect(amiss.length, amiss.join('\n')).toBeLessThanOrEqual(0.05 * of);
    });

    it('are mostly taken for commands where nobody thought of the words', () => {
      const { amiss, of } = share(other.filter(({ meaning }) => meaning !== 'answer'));
      expect(of).toBeGreaterThanOrEqual(100);
      expect(amiss.length, amiss.join('\n')).toBeLessThanOrEqual(0.15 * of);
    });

    it('are taken for answers where they are', () => {
      const { amiss, of } = share(own.filter(({ meaning }) => meaning === 'answer'));
      expect(of).toBeGreaterThanOrEqual(20);
      expect(amiss.length, amiss.join('\n')).toBeLessThanOrEqual(0.025 * of);
    });
  });

  it('have a case of every command in each language', () => {
    for (const language of ['en', 'es', 'fr']) {
      const known = new Set(all.filter((row) => row.language === language).map(({ meaning }) => meaning));
      expect([...known].sort()).toEqual([...commandNames, 'answer'].sort());
    }
  });
});

test('the labelled answers and the sentences of the phrasebanks are answers', () => {
  const corpus = ['author', 'learned'].flatMap((name) =>
    readFileSync(new URL(`../corpora/teachback-en.${name}.jsonl`, import.meta.url), 'utf8')
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as { module: string; text: string }),
  );
  const commandIn = (language: string, module: string, text: string) => {
    const pack = languagePack(language)!;
    const about = wordsOfAnswers(judging(module, language), pack);
    return interpret(text, commonOf(language), 'answer', pack, about).kind === 'command';
  };
  // "Um, what was the question": some of them ask, and are commands.
  const asked = corpus.filter(({ module, text }) => commandIn('en', module, text));
  expect(asked.length / corpus.length).toBeLessThan(0.01);
  const own = ['en', 'es', 'fr'].flatMap((language) =>
    judgedIn(language).flatMap((module) => {
      const file = judging(module, language);
      return phrasesFor(file, Object.keys(file.concepts)).map((text) => ({ language, module, text }));
    }),
  );
  const amiss = own.filter(({ language, module, text }) => commandIn(language, module, text));
  expect(own.length).toBeGreaterThan(3000);
  expect(amiss.length, amiss.map(({ text }) => text).join('\n')).toBeLessThan(6);
});

describe('what is a command and an answer as well', () => {
  const answers = (language: string, module: string, concept: string, text: string) => {
    const pack = languagePack(language)!;
    const found = interpret(text, commonOf(language), 'answer', pack, abouts.get(language));
    if (found.kind !== 'command') return 'no command';
    const step = compileStep(judging(module, language), [`${module}.${concept}`], pack);
    const findings = judge({ text, confidence: 1, alternatives: [] }, step, pack);
    return answersInstead(found.command, 'answer', text, findings, pack);
  };

  test.each([
    ['en', 'inhaler-spacer', 'repeat.wait', 'one minute'],
    ['en', 'inhaler-spacer', 'repeat.wait', 'wait a minute'],
    ['en', 'home-oxygen', 'flow.setting', 'turn it up'],
    ['en', 'inhaler-spacer', 'help.call', 'call the nurse'],
    ['en', 'nebulizer', 'finish.off', 'turn it down'],
    ['es', 'inhaler-spacer', 'repeat.wait', 'un minuto'],
    ['fr', 'inhaler-spacer', 'repeat.wait', 'une minute'],
  ])('in %s, asked about %s.%s, "%s" is the answer', (language, module, concept, text) => {
    expect(answers(language, module, concept, text)).toBe(true);
  });

  test.each([
    ['en', 'inhaler-spacer', 'repeat.wait', 'give me a minute'],
    ['en', 'inhaler-spacer', 'repeat.wait', 'wait a minute please'],
    ['en', 'home-oxygen', 'flow.setting', 'turn up the volume'],
    ['en', 'inhaler-spacer', 'help.call', 'I need a nurse'],
    ['en', 'inhaler-spacer', 'puff.press', 'one more time'],
    ['en', 'inhaler-spacer', 'puff.press', 'one minute'],
    ['en', 'inhaler-spacer', 'repeat.again', 'say that again'],
    ['es', 'inhaler-spacer', 'repeat.wait', 'deme un minuto'],
    ['fr', 'inhaler-spacer', 'repeat.wait', 'donnez-moi une minute'],
  ])('in %s, asked about %s.%s, "%s" is meant for the voice', (language, module, concept, text) => {
    expect(answers(language, module, concept, text)).toBe(false);
  });
});
