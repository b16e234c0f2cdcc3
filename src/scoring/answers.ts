import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { TeachingFile } from '../../phrasebanks/schema';
import { standingOf } from './clauses';
import { makeLexicon } from './lexicon';
import { cover, softAnswer, softPhrase, weigh } from './match';
import { normalize } from './normalize';
import { findNegations } from './polarity';
import { findQuantities } from './quantity';

export type ApprovedAnswer = TeachingFile['answers'][number];

/** How much of an approved question must be said, how much of the learner's must be covered, and the lead. */
const enough = { asked: 0.8, covered: 0.55, lead: 0.08 };

/** The approved answer to a learner's question, or null. Rather none than a wrong one. */
export function findAnswer(
  text: string,
  answers: readonly ApprovedAnswer[],
  pack: LanguagePack,
): ApprovedAnswer | null {
  if (answers.length === 0) return null;
  const documents = answers.map((answer) => answer.asks);
  const words = documents.flat().flatMap((ask) => normalize(ask, pack).map((token) => token.word));
  const lexicon = makeLexicon({}, words, pack.common, pack);
  const weights = weigh(documents, pack);
  const tokens = normalize(text, pack).slice(0, 120);
  const standing = standingOf(tokens, pack);
  // All of it is a question here.
  standing.question.fill(false);
  const soft = softAnswer({
    tokens,
    places: lexicon.find(tokens),
    negations: findNegations(tokens, pack),
    quantities: findQuantities(tokens, pack),
    standing,
  });
  const own = tokens.reduce((sum, token) => sum + weights(token.stem), 0);
  const ranked = answers
    .map((answer) => {
      let score = 0;
      for (const ask of answer.asks) {
        const phrase = softPhrase(ask, weights, lexicon, pack);
        const got = cover(phrase, soft);
        if (got.turned > 0.2) continue;
        const mine = got.at.reduce((sum, at) => sum + weights(tokens[at]!.stem), 0) / (own || 1);
        if (got.said < enough.asked || mine < enough.covered) continue;
        score = Math.max(score, got.said * 0.6 + mine * 0.4);
      }
      return { answer, score };
    })
    .sort((a, b) => b.score - a.score);
  const [first, second] = ranked;
  if (!first || first.score === 0) return null;
  if (second && first.score - second.score < enough.lead && second.score > 0) return null;
  return first.answer;
}
