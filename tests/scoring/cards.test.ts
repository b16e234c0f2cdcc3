import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readJudging } from '../../phrasebanks/read';
import { cardsFor, judgeCards, orderAmong, phrasesFor } from '../../src/scoring';

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

describe('cards in order', () => {
  const rule = orderAmong(judging, concepts)[0]!;
  const cards = cardsFor(judging, concepts, 3).filter((card) => card.contradiction === undefined);
  const inOrder = concepts.map((concept) => cards.find((card) => card.concept === concept)!);

  it('are asked for where a rule of the module joins two of the concepts', () => {
    expect(orderAmong(judging, concepts).map(({ id }) => id)).toEqual(['press-before-hold']);
    expect(orderAmong(judging, concepts.slice(1))).toEqual([]);
  });

  it('say which rule was broken, at the later step, and are understood all the same', () => {
    const [press, hold] = judgeCards(cards, inOrder.toReversed(), concepts, [rule]);
    expect(press).toMatchObject({ label: 'understood' });
    expect(press).not.toHaveProperty('order');
    expect(hold).toMatchObject({ label: 'understood', order: { id: rule.id, says: rule.says } });
    expect(hold!.reason).toContain(rule.says);
  });

  it('say nothing in the right order, nor where one of the two was not chosen', () => {
    const told = (chosen: typeof cards) =>
      judgeCards(cards, chosen, concepts, [rule]).filter((finding) => finding.order);
    expect(told(inOrder)).toEqual([]);
    expect(told(inOrder.slice(1))).toEqual([]);
  });
});
