import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readJudging } from '../../phrasebanks/read';
import { cardsFor, judgeCards, phrasesFor } from '../../src/scoring';

const judging = readJudging('inhaler-spacer', 'en');
const concepts = ['inhaler-spacer.puff.press', 'inhaler-spacer.puff.hold'];

describe('cards', () => {
  it('offers the right way and usual wrong ones of each concept', () => {
    const cards = cardsFor(judging, concepts, 1);
    for (const concept of concepts) {
      const mine = cards.filter((card) => card.concept === concept);
      expect(mine.filter((card) => card.contradiction === undefined)).toHaveLength(1);
      expect(mine.length).toBeGreaterThan(1);
    }
  });

  it('has one order a seed, and the same cards in every order', () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer(), (a, b) => {
        expect(cardsFor(judging, concepts, a)).toEqual(cardsFor(judging, concepts, a));
        const texts = (seed: number) =>
          cardsFor(judging, concepts, seed)
            .map((card) => card.text)
            .sort();
        expect(texts(a)).toEqual(texts(b));
      }),
    );
    const first = new Set([1, 2, 3, 4, 5, 6, 7, 8].map((seed) => cardsFor(judging, concepts, seed)[0]!.text));
    expect(first.size).toBeGreaterThan(1);
  });

  it('judges what is tapped', () => {
    const cards = cardsFor(judging, concepts, 3);
    const right = cards.filter((card) => card.contradiction === undefined);
    const wrong = cards.find((card) => card.contradiction !== undefined && card.concept === concepts[0])!;
    const labels = (chosen: typeof cards) =>
      judgeCards(cards, chosen, concepts).map((finding) => finding.label);
    expect(labels(right)).toEqual(['understood', 'understood']);
    expect(labels([...right, wrong])).toEqual(['misconception', 'understood']);
    expect(labels([])).toEqual(['missed', 'missed']);
    expect(labels([{ concept: concepts[0]!, text: 'not one of ours' }])).toEqual(['missed', 'missed']);
    expect(judgeCards(cards, [wrong], concepts)[0]!.contradiction).toBe(wrong.contradiction);
  });

  it('names a concept that is not there', () => {
    expect(() => cardsFor(judging, ['inhaler-spacer.puff.sing'], 1)).toThrow(
      /no concept "inhaler-spacer.puff.sing"/,
    );
  });

  it('gives the recogniser right and wrong phrases', () => {
    const phrases = phrasesFor(judging, concepts);
    expect(phrases.length).toBeGreaterThan(30);
    expect(phrases).toContain(judging.concepts[concepts[1]!]!.says);
    expect(phrases).toContain(judging.concepts[concepts[1]!]!.contradictions[0]!.says);
  });
});
