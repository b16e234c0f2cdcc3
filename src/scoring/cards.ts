import type { JudgingFile, OrderRule } from '../../phrasebanks/judging';
import type { Card, Finding } from './types';

/** Wrong cards beside each right one. */
const wrongCards = 2;

/** mulberry32: a small seeded generator (public domain), 0..1. */
function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/**
 * Cards for answering by touch: of each concept the right sentence and its most usual mistakes (the first
 * ones of the file), in an order that the seed decides. Throws when a concept is not in the file.
 */
export function cardsFor(judging: JudgingFile, concepts: readonly string[], seed: number): Card[] {
  const cards = concepts.flatMap((id): Card[] => {
    const concept = judging.concepts[id];
    if (!concept)
      throw new Error(`${judging.module}/${judging.language}.judging.json has no concept "${id}"`);
    return [
      { concept: id, text: concept.says },
      ...concept.contradictions
        .slice(0, wrongCards)
        .map((item) => ({ concept: id, text: item.says, contradiction: item.id })),
    ];
  });
  const next = random(seed);
  for (let i = cards.length - 1; i > 0; i--) {
    const k = Math.floor(next() * (i + 1));
    [cards[i], cards[k]] = [cards[k]!, cards[i]!];
  }
  return cards;
}

/** Where the order matters among these concepts; empty: nobody need put their cards in order. */
export const orderAmong = (judging: JudgingFile, concepts: readonly string[]): OrderRule[] =>
  (judging.order ?? []).filter(({ first, next }) => concepts.includes(first) && concepts.includes(next));

/**
 * Judges tapped cards: the right one and no wrong one is understood; a wrong one is a misconception. `chosen` is
 * in the order of tapping; right cards that break a rule of `order` say so, and are understood all the same.
 */
export function judgeCards(
  cards: readonly Card[],
  chosen: readonly Card[],
  concepts: readonly string[],
  order: readonly OrderRule[] = [],
): Finding[] {
  const offered = (card: Card): boolean =>
    cards.some(
      (other) =>
        other.concept === card.concept &&
        other.text === card.text &&
        other.contradiction === card.contradiction,
    );
  const picked = chosen.filter(offered);
  const placeOf = (concept: string) =>
    picked.findIndex((card) => card.concept === concept && card.contradiction === undefined);
  /** The rule that has this card come after one that was tapped later. */
  const brokenBy = (right: Card) =>
    order.find(({ first, next }) => next === right.concept && placeOf(first) > picked.indexOf(right));
  return concepts.map((concept): Finding => {
    const mine = picked.filter((card) => card.concept === concept);
    const wrong = mine.find((card) => card.contradiction !== undefined);
    if (wrong?.contradiction !== undefined)
      return {
        concept,
        label: 'misconception',
        confidence: 0.9,
        evidence: [],
        contradiction: wrong.contradiction,
        reason: `Chose the card "${wrong.text}"`,
      };
    const right = mine[0];
    const reversed = right && brokenBy(right);
    return right
      ? {
          concept,
          label: 'understood',
          confidence: 0.9,
          evidence: [],
          ...(reversed ? { order: { id: reversed.id, says: reversed.says } } : {}),
          reason: `Chose the card "${right.text}"${reversed ? `. ${reversed.says}` : ''}`,
        }
      : { concept, label: 'missed', confidence: 0.9, evidence: [], reason: 'Chose no card for it.' };
  });
}
