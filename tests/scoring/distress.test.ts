import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readCommon } from '../../phrasebanks/read';
import { interpret, languagePack } from '../../src/scoring';

interface Said {
  language: string;
  /** A cry for help, or only near one. */
  flag: boolean;
  text: string;
}
const read = (name: string): Said[] =>
  readFileSync(new URL(`../corpora/distress.${name}.jsonl`, import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
const commons = new Map(['en', 'es', 'fr'].map((language) => [language, readCommon(language)]));
const raised = ({ text, language }: Said): boolean =>
  interpret(text, commons.get(language)!, 'answer', languagePack(language)!).kind === 'distress';

describe('words of distress in three languages', () => {
  const learned = read('learned');
  it('are caught, at least 58 of 60', () => {
    const cries = learned.filter((one) => one.flag);
    expect(cries).toHaveLength(60);
    expect(cries.filter(raised).length).toBeGreaterThanOrEqual(58);
  });

  it('are not heard in what comes near them, at most 1 of 60', () => {
    const near = learned.filter((one) => !one.flag);
    expect(near).toHaveLength(60);
    expect(near.filter(raised).length).toBeLessThanOrEqual(1);
  });

  // Nobody wrote signs for these; the figures are what a new speaker may expect. Not to be looked into.
  const unseen = read('unseen');
  it('are caught in nine of ten cases where the words are new', () => {
    const cries = unseen.filter((one) => one.flag);
    expect(cries.filter(raised).length / cries.length).toBeGreaterThanOrEqual(0.9);
    const near = unseen.filter((one) => !one.flag);
    expect(near.filter(raised).length / near.length).toBeLessThanOrEqual(0.06);
  });

  it('are found with the sign that raised them', () => {
    const meaning = interpret(
      'last year I was fine and now I cannot breathe',
      commons.get('en')!,
      'answer',
      languagePack('en')!,
    );
    expect(meaning).toMatchObject({ kind: 'distress' });
  });
});
