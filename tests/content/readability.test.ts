import textReadability from 'text-readability';
import { describe, expect, it } from 'vitest';
import { readTeaching } from '../../phrasebanks/read';
import {
  count,
  fernandezHuerta,
  flesch,
  grade,
  inflesz,
  isEasy,
  kandelMoles,
  measuresOf,
  sentences,
  smog,
  words,
} from '../../src/content/readability';

// Published vectors of the formulas, as the literature on readability gives them.
describe('readability', () => {
  it('gives the grade of the platypus sentence', () => {
    expect(grade({ sentences: 1, words: 13, syllables: 24, long: 0 })).toBeCloseTo(11.265, 3);
  });

  it('never counts fewer syllables than the platypus sentence has', () => {
    // The published count takes "-ian" as one syllable; the counter takes it as two, the strict side.
    const platypus = 'The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.';
    const counts = count(platypus);
    expect(counts).toMatchObject({ sentences: 1, words: 13 });
    expect(counts.syllables - 2).toBe(24);
  });

  it('gives the two values of a text of 34 sentences', () => {
    const counts = { sentences: 34, words: 432, syllables: 607, long: 0 };
    expect(flesch(counts)).toBeCloseTo(75.07, 2);
    expect(grade(counts)).toBeCloseTo(5.945, 3);
  });

  // The printed SMOG table for 30 sentences (hunter.cuny.edu): from so many long words on, the grade.
  it.each([
    [0, 2, 4],
    [3, 6, 5],
    [7, 12, 6],
    [13, 20, 7],
    [21, 30, 8],
    [31, 42, 9],
    [43, 56, 10],
    [57, 72, 11],
    [73, 90, 12],
    [91, 110, 13],
    [111, 132, 14],
    [133, 156, 15],
    [157, 182, 16],
    [183, 210, 17],
    [211, 240, 18],
  ])('stays near the SMOG table from %i to %i long words', (from, to, printed) => {
    const middle = smog({ sentences: 30, long: Math.round((from + to) / 2) });
    // The table rounds to whole roots; the formula was fitted later and runs a little higher at the hard end.
    expect(Math.abs(middle - printed)).toBeLessThanOrEqual(printed <= 8 ? 0.5 : 0.9);
  });

  // Worked by hand from the printed formulas.
  it('gives the Spanish values of 12 words, 3 sentences and 18 syllables', () => {
    const counts = { sentences: 3, words: 12, syllables: 18, long: 0 };
    expect(inflesz(counts)).toBeCloseTo(109.385, 3);
    expect(fernandezHuerta(counts)).toBeCloseTo(112.76, 2);
  });

  it('gives the French value of 12 words, 3 sentences and 16 syllables', () => {
    expect(kandelMoles({ sentences: 3, words: 12, syllables: 16, long: 0 })).toBeCloseTo(104.807, 3);
  });

  // The package text-readability counts with the same list of syllables, but rounds syllables a word
  // to one decimal: worth up to 0.6 of a grade.
  it('grades what is taught as text-readability does', () => {
    for (const module of ['inhaler-spacer', 'nebulizer', 'home-oxygen']) {
      for (const step of Object.values(readTeaching(module, 'en').steps)) {
        const text = step.teach.join(' ').replaceAll(/\{\w+\}/g, 'your nurse');
        expect(Math.abs(grade(count(text)) - textReadability.fleschKincaidGrade(text))).toBeLessThan(0.7);
      }
    }
  });

  it('counts a word with an apostrophe once and ends sentences at ? and !', () => {
    expect(count("Don't stop! Are you well?")).toMatchObject({ sentences: 2, words: 5 });
    expect(sentences('One. Two?')).toEqual(['One.', 'Two?']);
    expect(words('l’air de 10 minutes')).toHaveLength(4);
  });

  it('tells easy from hard at the limit', () => {
    const [first] = measuresOf('en');
    expect([6.04, 6.06].map((value) => isEasy(first!, value))).toEqual([true, false]);
    const [spanish] = measuresOf('es');
    expect([64.96, 64.94].map((value) => isEasy(spanish!, value))).toEqual([true, false]);
    expect(measuresOf('pt')).toEqual([]);
  });
});
