import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { TeachingFile } from '../../phrasebanks/schema';
import { standingOf } from './clauses';
import { cover, type ReadPhrase, readPhrase, softAnswer, softPhrase, weigh } from './match';
import { normalize } from './normalize';
import { findNegations } from './polarity';

export type ApprovedAnswer = TeachingFile['answers'][number];

/** How much of an approved question must be said, how much of the learner's must be covered, and the lead. */
const enough = { asked: 0.8, covered: 0.55, lead: 0.08 };

interface Asks {
  phrases: ReadPhrase[];
  stems: ReadonlySet<string>;
}
const known = new WeakMap<ApprovedAnswer, Map<string, Asks>>();

/** The questions of an answer, read once a language. What their words are worth, all answers together decide. */
function asksOf(answer: ApprovedAnswer, pack: LanguagePack): Asks {
  const made = known.get(answer)?.get(pack.language);
  if (made) return made;
  // No classes: a question is found by its own words.
  const phrases = answer.asks.map((ask) => readPhrase(ask, null, pack));
  const asks = { phrases, stems: new Set(phrases.flatMap(({ words }) => words.map(({ stem }) => stem))) };
  const byLanguage = known.get(answer) ?? new Map<string, Asks>();
  byLanguage.set(pack.language, asks);
  known.set(answer, byLanguage);
  return asks;
}

/** The approved answer to a learner's question, or null. Rather none than a wrong one. */
export function findAnswer(
  text: string,
  answers: readonly ApprovedAnswer[],
  pack: LanguagePack,
): ApprovedAnswer | null {
  if (answers.length === 0) return null;
  const asks = answers.map((answer) => asksOf(answer, pack));
  const weights = weigh(
    asks.map(({ stems }) => stems),
    pack,
  );
  const tokens = normalize(text, pack).slice(0, 120);
  const standing = standingOf(tokens, pack);
  // All of it is a question here.
  standing.question.fill(false);
  const soft = softAnswer({
    tokens,
    places: new Map(),
    negations: findNegations(tokens, pack),
    standing,
  });
  const own = tokens.reduce((sum, token) => sum + weights(token.stem), 0);
  const ranked = answers
    .map((answer, index) => {
      let score = 0;
      for (const phrase of asks[index]!.phrases) {
        const got = cover(softPhrase(phrase, weights), soft);
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
