import { describe, expect, it } from 'vitest';
import { languagePack } from '../../src/scoring';
import { standingOf } from '../../src/scoring/clauses';
import { normalize } from '../../src/scoring/normalize';

const en = languagePack('en')!;
function standing(text: string, word: string): string {
  const tokens = normalize(text, en);
  const at = tokens.findIndex((token) => token.word === word);
  const { question, past, other } = standingOf(tokens, en);
  return question[at] ? 'asked' : past[at] ? 'past' : other[at] ? 'other' : 'said';
}

describe('how words are meant', () => {
  it.each([
    ['do I have to rinse it', 'rinse', 'asked'],
    ['Should I wash the tube?', 'wash', 'asked'],
    ['You rinse your mouth?', 'rinse', 'asked'],
    ['was it the tube you wash no the cup', 'cup', 'said'],
    ['I rinse my mouth, right?', 'rinse', 'said'],
    ['do the same again', 'same', 'said'],
    ['I used to do two puffs', 'puffs', 'past'],
    ['I used to do two but now I do one', 'one', 'said'],
    ['if I need it more than I used to I call', 'call', 'said'],
    ['my neighbor swallows it', 'swallows', 'other'],
    ['my sister told me to rinse', 'rinse', 'said'],
  ])('takes "%s": %s as %s', (text, word, how) => {
    expect(standing(text, word)).toBe(how);
  });

  it('finds where the speaker corrects herself', () => {
    expect(standingOf(normalize('two puffs, no wait, one', en), en).repairs.length).toBeGreaterThan(0);
    expect(standingOf(normalize('I wait one minute', en), en).repairs).toEqual([]);
  });

  it('begins a new case at each further condition of a speaker who puts conditions first', () => {
    const cases = (text: string) => {
      const tokens = normalize(text, en);
      return standingOf(tokens, en).cases.flatMap((begins, at) => (begins ? [at] : []));
    };
    expect(cases('if it does not help i call 911 if it comes back a lot i call my nurse')).toHaveLength(1);
    expect(cases('i call 911 if it does not help i call my nurse if it comes back a lot')).toEqual([]);
    expect(cases('if it comes back a lot i call my nurse i call 911 if it does not help')).toEqual([]);
  });
});
