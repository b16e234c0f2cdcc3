import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { draftConcepts, judge, languagePack } from '../../src/scoring';
import { type Clues, compileDrafts, lookAt } from '../../src/scoring/draft';
import { draftOdds } from '../../src/scoring/draftModel';
import { normalize } from '../../src/scoring/normalize';
import { findNegations } from '../../src/scoring/polarity';

const en = languagePack('en')!;
const concepts = [
  {
    id: 'lid',
    says: 'The lid of the kettle must be closed before it boils.',
    accept: ['Shut the lid before you turn the kettle on'],
    question: 'What about the lid?',
  },
  { id: 'level', says: 'Fill the kettle up to the upper mark.' },
];
const drafts = compileDrafts(concepts, en);
function look(text: string, index = 0): { clues: Clues; at: string[] } {
  const tokens = normalize(text, en);
  const { clues, at } = lookAt(drafts[index]!, tokens, findNegations(tokens, en));
  return { clues, at: at.map((k) => tokens[k]!.word) };
}
const likeliest = (text: string, index = 0): string =>
  Object.entries(draftOdds(look(text, index).clues)).sort((a, b) => b[1] - a[1])[0]![0];

describe('a concept drafted from plain sentences', () => {
  it.each([
    ['The lid of the kettle must be closed before it boils', 'understood'],
    ['the kettle lid must be closd before it boils', 'understood'],
    ['The lid of the kettle must not be closed before it boils', 'misconception'],
    ['The lid of the kettle must be open before it boils', 'misconception'],
    ['I do not know', 'missed'],
    ['my sister lives by the sea', 'missed'],
    ['', 'missed'],
    ['?!', 'missed'],
  ])('"%s" is most likely %s', (text, label) => {
    expect(likeliest(text)).toBe(label);
  });

  it('hears "not open" as "closed", and "four" as "4"', () => {
    expect(look('the lid must not be open').clues.turned).toBe(0);
    expect(look('the lid must be open').clues.turned).toBeGreaterThan(0);
    const four = compileDrafts([{ id: 'n', says: 'Turn knob 4' }], en)[0]!;
    const tokens = normalize('turn knob four', en);
    expect(lookAt(four, tokens, []).clues.harmony).toBeCloseTo(1, 10);
  });

  it('gives less for the words of the question', () => {
    expect(look('the lid').clues.echo).toBeGreaterThan(0.9);
    expect(draftOdds(look('the lid').clues).understood).toBeLessThan(
      draftOdds(look('closed before it boils').clues).understood,
    );
  });

  it('points at the words that count', () => {
    expect(look('well I fill the kettle up to the mark', 1).at).toEqual(['fill', 'kettle', 'mark']);
  });

  it('gives every clue between 0 and 1, and odds that add up to 1', () => {
    for (const text of [
      '',
      'lid',
      'no no no not',
      'lid '.repeat(5_000),
      'the kettle boils and the lid is open',
    ]) {
      const { clues } = look(text);
      for (const value of Object.values(clues)) expect(value >= 0 && value <= 1).toBe(true);
      const odds = Object.values(draftOdds(clues));
      expect(odds.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 10);
    }
  });

  it('judges any text without failing, and a question as nothing said', () => {
    const step = draftConcepts(concepts, en);
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 400 }), (text) => {
        for (const { confidence, evidence } of judge(text, step, en)) {
          expect(confidence >= 0 && confidence <= 1).toBe(true);
          for (const { start, end } of evidence)
            expect(start >= 0 && start < end && end <= text.length).toBe(true);
        }
      }),
    );
    expect(judge('Must the lid of the kettle be closed before it boils?', step, en)[0]!.label).toBe('missed');
  });
});
