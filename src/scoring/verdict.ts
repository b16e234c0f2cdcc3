import { judgeDraft } from './draftVerdict';
import { type Cover, cover, type SoftAnswer, type SoftPhrase, softAnswer } from './match';
import type { Token } from './normalize';
import { type Facts, findPattern, type Match, type Pattern } from './pattern';
import type { JudgeConcept, JudgeStep } from './step';
import { otherMatter } from './topic';
import type { Finding, Label, Span } from './types';

/** A phrase counts as said from here on. */
export const wholePhrase = 0.86;
/** A mistake known by a whole sentence counts from here on. */
const wholeMistake = 0.92;
/** So much of what tells a mistake from the right sentence must be said. */
const toldApart = 0.6;
/** From here on a mistake may have been meant: too unsure to pass. */
const nearlyMistake = 0.75;
/** A correction takes back what stands this many words before it. */
const repairReach = 14;
const closeReach = 5;

function spansOf(tokens: readonly Token[], positions: Iterable<number>): Span[] {
  const spans: Span[] = [];
  for (const at of [...new Set(positions)].sort((a, b) => a - b)) {
    const token = tokens[at];
    if (!token) continue;
    const last = spans.at(-1);
    const before = at > 0 ? tokens[at - 1] : undefined;
    if (
      last &&
      before &&
      before.end >= last.end &&
      before.start < last.end + 1 &&
      token.start >= last.start
    ) {
      last.end = Math.max(last.end, token.end);
    } else spans.push({ start: token.start, end: token.end });
  }
  return spans;
}

function positionsOf(matches: readonly Match[]): number[] {
  const all: number[] = [];
  for (const match of matches)
    for (const place of match.places) for (let k = place.start; k < place.end; k++) all.push(k);
  return all;
}

const guessed = (matches: readonly Match[]): boolean =>
  matches.some((match) => match.places.some((place) => place.guessed));

/** Enough content words that saying them close together is no accident. */
const rich = (phrase: SoftPhrase): boolean => phrase.words.filter((word) => word.weight > 0.5).length >= 3;

interface Sight {
  step: JudgeStep;
  facts: Facts;
  soft: SoftAnswer;
  /** Probability that the words were heard right, 0..1. */
  heard: number;
}

function findAny(patterns: readonly Pattern[], concept: JudgeConcept, facts: Facts): Match[] {
  return patterns.flatMap((pattern) => findPattern(pattern, facts, concept.quantities));
}

function bestCover(
  phrases: readonly SoftPhrase[],
  answer: SoftAnswer,
): { cover: Cover; phrase: SoftPhrase } | null {
  let best: { cover: Cover; phrase: SoftPhrase } | null = null;
  for (const phrase of phrases) {
    const got = cover(phrase, answer);
    if (!best || got.said - got.turned > best.cover.said - best.cover.turned) best = { cover: got, phrase };
  }
  return best;
}

/** Is what stands at `match` taken back later, or turned down as somebody else's way? */
function takenBack(match: Match, good: readonly Match[], facts: Facts): boolean {
  const { repairs, rejects, other } = facts.standing;
  for (const repair of repairs) {
    const gap = repair.start - match.end;
    if (gap < -1 || gap > repairReach) continue;
    if (gap <= closeReach) return true;
    if (good.some((later) => later.start >= repair.start && later.start < repair.end + 25)) return true;
  }
  if (match.places.some((place) => other[place.start]))
    return rejects.some((at) => at >= match.start - 2) || good.some((later) => later.start > match.end);
  return false;
}

/** Share of the words of b that a covers too. */
const shared = (a: Cover, b: Cover): number =>
  b.at.length === 0 ? 0 : b.at.filter((at) => a.at.includes(at)).length / b.at.length;

/** Does a match reach across "then" or "but" without taking it in? */
function straddles(match: Match, { standing }: Facts): boolean {
  for (let k = match.start + 1; k < match.end; k++)
    if (
      standing.cases[k] ||
      (standing.breaks[k] && !match.places.some((place) => k >= place.start && k < place.end))
    )
      return true;
  return false;
}

/** Does a match rest on a word or two found by spelling or sound, amid another matter? */
const guessedAside = (match: Match, { facts, step }: Sight): boolean =>
  step.topic !== undefined &&
  guessed([match]) &&
  otherMatter(positionsOf([match]), true, facts, step.topic).length > 0;

interface Wrong {
  id: string;
  says: string;
  matches: Match[];
  byPhrase: boolean;
}

function mistakeOf(concept: JudgeConcept, good: readonly Match[], sight: Sight): Wrong | null {
  const { facts, step } = sight;
  for (const item of concept.contradictions) {
    const matches = findAny(item.any, concept, facts).filter(
      (match) => !straddles(match, facts) && !takenBack(match, good, facts) && !guessedAside(match, sight),
    );
    if (matches.length > 0) return { id: item.id, says: item.says, matches, byPhrase: false };
  }
  const right = bestCover(concept.accept, sight.soft)?.cover;
  for (const item of concept.contradictions) {
    for (const phrase of item.phrases) {
      const got = cover(phrase, sight.soft);
      // Without a word of its own it is the right sentence in another order, or its opposite.
      if (phrase.telling === 0 || got.said < wholeMistake || got.told < toldApart || got.turned > 0) continue;
      // The same words may come nearer to the right sentence.
      if (right && right.said >= got.said && shared(right, got) > 0.5) continue;
      const match = matchAt(got.at);
      if (!straddles(match, facts) && !takenBack(match, good, facts))
        return { id: item.id, says: item.says, matches: [match], byPhrase: true };
    }
  }
  const turn = rulesOnly(good, sight);
  if (turn >= 0)
    return {
      id: 'does-otherwise',
      says: 'knows it but does otherwise',
      matches: [matchAt([turn])],
      byPhrase: false,
    };
  if (good.length > 0) {
    for (let i = 0; i < facts.tokens.length; i++) {
      const otherwise = step.otherwise.at(facts.tokens, i);
      if (otherwise > 0 && good.some((match) => i >= match.end && i - match.end <= 6)) {
        const match = matchAt([...Array(otherwise).keys()].map((k) => i + k));
        return {
          id: 'does-otherwise',
          says: 'knows it but does otherwise',
          matches: [match],
          byPhrase: false,
        };
      }
      const gutter = concept.always ? step.gutters.at(facts.tokens, i) : 0;
      if (gutter > 0 && good.some((match) => besides(match, i, gutter, sight))) {
        const match = matchAt([...Array(gutter).keys()].map((k) => i + k));
        if (!takenBack(match, good, facts) && !facts.standing.past[i])
          return {
            id: 'only-sometimes',
            says: 'does it only under a condition',
            matches: [match],
            byPhrase: false,
          };
      }
    }
  }
  return null;
}

/** A word that weakens what was said ("sometimes"), or null. */
function doubtOf(concept: JudgeConcept, good: readonly Match[], { facts, step }: Sight): string | null {
  if (!concept.always || good.length === 0) return null;
  for (const match of good)
    for (let i = match.end; i < Math.min(facts.tokens.length, match.end + 3); i++)
      if (step.exceptions.at(facts.tokens, i) > 0) return facts.tokens[i]!.word;
  for (let i = 0; i < facts.tokens.length; i++) {
    const size = step.weakGutters.at(facts.tokens, i);
    if (size > 0 && !facts.standing.past[i] && good.some((match) => beside(match, i, size, facts)))
      return facts.tokens
        .slice(i, i + size)
        .map((token) => token.word)
        .join(' ');
  }
  return null;
}

/** A mistake that was nearly said, in other words than its patterns know, or null. */
function nearMistake(concept: JudgeConcept, sight: Sight): string | null {
  const wrong = bestCover(concept.contradictions.flatMap((item) => item.phrases).filter(rich), sight.soft);
  if (!wrong || wrong.cover.said < nearlyMistake || wrong.cover.told < toldApart || wrong.cover.turned > 0)
    return null;
  if (straddles(matchAt(wrong.cover.at), sight.facts)) return null;
  const right = bestCover(concept.accept, sight.soft);
  const verbatim =
    right &&
    right.cover.said >= wholePhrase &&
    right.cover.said >= wrong.cover.said &&
    shared(right.cover, wrong.cover) > 0.5;
  return verbatim ? null : wrong.phrase.text;
}

/**
 * "It should air dry but I ...": a rule before the words, and a turn to one's own way right behind them; or
 * "ten minutes they say but I ...": the rule between, and the turn to a person.
 */
function rulesOnly(good: readonly Match[], { facts: { tokens }, step }: Sight): number {
  const ruledIn = (from: number, to: number): boolean => {
    for (let i = Math.max(0, from); i < to; i++) if (step.rules.at(tokens, i) > 0) return true;
    return false;
  };
  for (const match of good) {
    const before = ruledIn(match.start - 6, match.end);
    for (let i = match.end; i < Math.min(tokens.length, match.end + 8); i++) {
      const turn = step.turns.at(tokens, i);
      if (turn === 0) continue;
      const turnsToSelf = tokens.slice(i + turn - 1, i + turn + 1).some(({ word }) => step.own.has(word));
      if (before) return i;
      const saidAgain = good.some((later) => later.start > i);
      if (turnsToSelf && !saidAgain && ruledIn(match.end, i)) return i;
    }
  }
  return -1;
}

/** Does a weak word at i stand right beside the match, in the same step of the story? */
function beside(match: Match, i: number, size: number, { standing }: Facts): boolean {
  if (i - match.end > 2 || match.start - i - size > 2) return false;
  for (let k = Math.min(match.start, i) + 1; k <= Math.max(match.end - 1, i); k++)
    if (standing.breaks[k]) return false;
  return true;
}

/** Does a condition at i belong to the match, with no new subject between them? */
function besides(match: Match, i: number, size: number, { facts: { tokens }, step }: Sight): boolean {
  if (i >= match.end) {
    const between = tokens.slice(match.end, i).map((token) => token.word);
    return between.length <= 5 && (!between.includes(step.self) || between.includes(step.bare));
  }
  return match.start - i - size <= 3;
}

function matchAt(positions: readonly number[]): Match {
  const places = positions.map((at) => ({ start: at, end: at + 1, guessed: false }));
  return { start: positions[0] ?? 0, end: (positions.at(-1) ?? 0) + 1, places };
}

/** How often a verdict of a kind was right on the author set; see tests/bench/score.ts. */
export const trust = {
  parts: 0.88,
  phrase: 0.8,
  guessedParts: 0.78,
  partial: 0.74,
  hint: 0.68,
  silent: 0.95,
  missed: 0.82,
  mistake: 0.86,
  mistakePhrase: 0.75,
  conflict: 0.7,
  doubt: 0.5,
};

interface Verdict {
  label: Label;
  confidence: number;
  at: number[];
  missing?: string;
  contradiction?: string;
  reason: string;
}

function judgeConcept(concept: JudgeConcept, sight: Sight): Verdict {
  if (concept.draft) return judgeDraft(concept.draft, concept.says, sight.facts);
  const { facts, step } = sight;
  const parts = concept.parts.map((part) => ({ part, matches: findAny(part.any, concept, facts) }));
  const hints = findAny(concept.hints, concept, facts);
  const good = [...parts.flatMap((part) => part.matches), ...hints];
  const wrong = mistakeOf(concept, good, sight);
  const said = parts.filter((part) => part.matches.length > 0);
  if (wrong) {
    const confidence = wrong.byPhrase
      ? trust.mistakePhrase
      : said.length === parts.length
        ? trust.conflict
        : trust.mistake - (guessed(wrong.matches) ? 0.1 : 0);
    return {
      label: 'misconception',
      confidence,
      at: positionsOf(wrong.matches),
      contradiction: wrong.id,
      reason: `Goes against "${concept.says}": ${wrong.says}`,
    };
  }
  const doubt = doubtOf(concept, good, sight) ?? nearMistake(concept, sight);
  const first = said.map((part) => part.matches[0]!);
  const missing = parts.find((part) => part.matches.length === 0);
  if (!missing && doubt)
    return {
      label: 'partial',
      confidence: trust.doubt,
      at: positionsOf(first),
      reason: `Said "${concept.says}", but perhaps not always: ${doubt}`,
    };
  if (!missing) {
    const topic = step.topic;
    const aside = (matches: readonly Match[]): string[] =>
      topic ? otherMatter(positionsOf(matches), guessed(matches), facts, topic) : [];
    // Said twice, the one said of the matter counts.
    const choices = parts.length === 1 ? parts[0]!.matches.slice(0, 8).map((match) => [match]) : [first];
    const matches = choices.find((choice) => aside(choice).length === 0) ?? first;
    const other = aside(matches);
    if (other.length > 0)
      return {
        label: 'partial',
        confidence: trust.doubt,
        at: positionsOf(matches),
        reason: `Said "${concept.says}", but perhaps of something else: ${other.join(', ')}`,
      };
    return {
      label: 'understood',
      confidence: guessed(matches) ? trust.guessedParts : trust.parts,
      at: positionsOf(matches),
      reason: `Said all of "${concept.says}"`,
    };
  }
  const best = bestCover(concept.accept, sight.soft);
  if (best && best.cover.said >= wholePhrase && best.cover.turned === 0 && !doubt && rich(best.phrase))
    return {
      label: 'understood',
      confidence: trust.phrase,
      at: best.cover.at,
      reason: `Close to "${best.phrase.text}"`,
    };
  const earns = said.some((part) => part.part.alone);
  if (earns || hints.length > 0) {
    const matches = earns ? first : hints.slice(0, 1);
    return {
      label: 'partial',
      confidence: earns ? trust.partial : trust.hint,
      at: positionsOf(matches),
      missing: missing.part.id,
      reason: `Part of "${concept.says}" was said; not heard: ${missing.part.id}.`,
    };
  }
  return {
    label: 'missed',
    confidence: facts.tokens.length < 3 || said.length === 0 ? trust.silent : trust.missed,
    at: [],
    missing: missing.part.id,
    reason: `Nothing was heard about "${concept.says}"`,
  };
}

/** Below this an understood concept is handed to a person as partial. */
const unsure = 0.5;

/** Facts of an answer -> one finding a concept. */
export function verdicts(step: JudgeStep, facts: Facts, heard: number): Finding[] {
  const sight: Sight = { step, facts, soft: softAnswer(facts), heard };
  return step.concepts.map((concept) => {
    const verdict = judgeConcept(concept, sight);
    const certainty = verdict.label === 'missed' ? 1 : 0.4 + 0.6 * heard;
    let { label, reason } = verdict;
    const confidence = Math.round(verdict.confidence * certainty * 1000) / 1000;
    if (label === 'understood' && confidence < unsure) {
      label = 'partial';
      reason = `Heard too poorly to be sure: ${reason}`;
    }
    return {
      concept: concept.id,
      label,
      confidence,
      evidence: spansOf(facts.tokens, verdict.at),
      ...(verdict.missing && label !== 'understood' ? { missing: verdict.missing } : {}),
      ...(verdict.contradiction ? { contradiction: verdict.contradiction } : {}),
      reason,
    };
  });
}
