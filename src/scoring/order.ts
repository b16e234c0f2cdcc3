import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { factsOf } from './facts';
import type { Token } from './normalize';
import type { Facts } from './pattern';
import { type PhraseFinder, phraseFinder } from './phrases';
import type { JudgeStep } from './step';
import type { Finding, Span } from './types';
import { verdicts } from './verdict';

/** How an answer orders two steps. */
export type ToldOrder = 'in order' | 'reversed' | 'not told';

/** Token positions, end exclusive. */
interface Stretch {
  start: number;
  end: number;
}

interface Cues {
  before: PhraseFinder;
  after: PhraseFinder;
  earlier: PhraseFinder;
  later: PhraseFinder;
  first: PhraseFinder;
  unsure: PhraseFinder;
  repairs: PhraseFinder;
  links: ReadonlySet<string>;
}
const known = new WeakMap<LanguagePack, Cues | null>();

function cuesOf(pack: LanguagePack): Cues | null {
  let cues = known.get(pack);
  if (cues === undefined) {
    const { sequence } = pack;
    cues = sequence
      ? {
          before: phraseFinder(sequence.before),
          after: phraseFinder(sequence.after),
          earlier: phraseFinder(sequence.earlier),
          later: phraseFinder(sequence.later),
          first: phraseFinder(sequence.first),
          unsure: phraseFinder(sequence.unsure),
          repairs: phraseFinder(pack.repairs),
          links: new Set(sequence.links),
        }
      : null;
    known.set(pack, cues);
  }
  return cues;
}

/** How many words before a step may hold the word that opens its clause: "before I go and ..." */
const opening = 5;
/** How many words behind a step still belong to it: "... the medicine out first". */
const closing = 4;

/** Adds one sentence to the later concept's finding for each order of the step that was told the other way round. */
export function withOrder(
  findings: Finding[],
  text: string,
  facts: Facts,
  step: JudgeStep,
  pack: LanguagePack,
): Finding[] {
  let result = findings;
  for (const rule of step.order ?? []) {
    const first = findings.find((finding) => finding.concept === rule.first);
    const then = findings.find((finding) => finding.concept === rule.next);
    if (!first || !then || toldOrder(first, then, text, facts, pack) !== 'reversed') continue;
    if (toldTwice(first, then, text, step, pack)) continue;
    result = result.map((finding) =>
      finding.concept === rule.next && !finding.order
        ? { ...finding, order: { id: rule.id, says: rule.says }, reason: `${finding.reason} ${rule.says}` }
        : finding,
    );
  }
  return result;
}

/** Only what was surely said can be said in an order. */
const surely = (finding: Finding): boolean =>
  (finding.label === 'understood' || finding.label === 'partial') &&
  finding.confidence >= 0.5 &&
  !finding.doubtful &&
  finding.evidence.length > 0;

/**
 * Whether the answer tells `first` before `then`. Steps are often listed in any order, so only words that
 * order them ("then", "before that") make an order; words that disagree, or take something back, make none.
 */
export function toldOrder(
  first: Finding,
  then: Finding,
  text: string,
  facts: Pick<Facts, 'tokens' | 'standing' | 'negations'>,
  pack: LanguagePack,
): ToldOrder {
  const cues = cuesOf(pack);
  if (!cues || !surely(first) || !surely(then)) return 'not told';
  const a = stretchOf(first.evidence, facts.tokens);
  const b = stretchOf(then.evidence, facts.tokens);
  if (!a || !b || (a.start < b.end && b.start < a.end)) return 'not told';
  const natural = a.start < b.start;
  const inTelling = sequence(natural ? a : b, natural ? b : a, text, facts, cues, pack);
  if (inTelling === null) return 'not told';
  return inTelling === natural ? 'in order' : 'reversed';
}

function stretchOf(evidence: readonly Span[], tokens: readonly Token[]): Stretch | null {
  const at = tokens.flatMap((token, i) =>
    evidence.some((span) => token.start < span.end && token.end > span.start) ? [i] : [],
  );
  return at.length > 0 ? { start: at[0]!, end: at.at(-1)! + 1 } : null;
}

const cueNames = ['earlier', 'later', 'before', 'after', 'first'] as const;

function cueAt(
  cues: Cues,
  tokens: readonly Token[],
  i: number,
): [cue: (typeof cueNames)[number] | null, length: number] {
  let found: ReturnType<typeof cueAt> = [null, 0];
  for (const name of cueNames) {
    const length = cues[name].at(tokens, i);
    if (length > found[1]) found = [name, length];
  }
  return found;
}

/** x is told before y. true: it is also done before y; false: after it; null: not said, or not clearly. */
function sequence(
  x: Stretch,
  y: Stretch,
  text: string,
  { tokens, standing }: Pick<Facts, 'tokens' | 'standing'>,
  cues: Cues,
  pack: LanguagePack,
): boolean | null {
  const gap = (i: number): string => text.slice(tokens[i - 1]!.end, tokens[i]!.start);
  /** A sentence begins at token i, or the answer is over. */
  const opens = (i: number): boolean => i === 0 || i >= tokens.length || /[.!?;\n]/.test(gap(i));
  const links = (i: number): boolean => cues.links.has(tokens[i]?.word ?? '');
  const pauses = (i: number): boolean => opens(i) || /[,:]/.test(gap(i));
  /** The clause that a cue ending at `i` opens is that of the step beginning at `at`, not of something between. */
  const governs = (i: number, at: number, end = at + 1): boolean => {
    const subject = tokens[i]?.word === pack.self;
    for (let k = i; k < end; k++) if (opens(k) || (k > i && tokens[k]!.word === pack.self)) return false;
    return at - i <= (subject ? 3 : 1);
  };
  // What was pieced together over two sentences has no place of its own.
  for (const { start, end } of [x, y]) for (let k = start + 1; k < end; k++) if (opens(k)) return null;
  let from = x.start;
  while (from > 0 && x.start - from < opening && !opens(from)) from--;
  let to = y.end;
  while (to < tokens.length && to - y.end < closing && !opens(to)) to++;
  const ends = opens(to) && to - y.end <= 2;

  const votes = new Set<boolean>();
  for (let i = from; i < to; ) {
    const word = tokens[i]!.word;
    // Taken back, asked, told of before, or turned round by a negation: no order can be read off.
    // "Until" may be part of a step itself.
    const inside = (i >= x.start && i < x.end) || (i >= y.start && i < y.end);
    if (!inside && cues.unsure.at(tokens, i) > 0) return null;
    if (cues.repairs.at(tokens, i) > 0 || pack.negation.plain.includes(word)) return null;
    if (standing.question[i] || standing.past[i] || standing.other[i]) return null;
    // The longest wins: "after that" is no "after".
    const [cue, length] = cueAt(cues, tokens, i);
    const inX = i < x.end;
    if (cue === 'earlier') {
      // "..., before that y" and "... y, but before that": behind y it speaks of what follows.
      if (i >= x.end && i < y.end) votes.add(false);
      else if (i >= y.end) {
        if (!opens(i + length)) return null;
        votes.add(false);
      }
    } else if (cue === 'later') {
      // "x, then y"; before x it joins what came before.
      if (i >= x.end && (i < y.start ? governs(i + length, y.start) : i < y.end || opens(i + length)))
        votes.add(true);
    } else if (cue === 'before' || cue === 'after') {
      const forward = cue === 'before';
      if (i < x.start) {
        // "Before x, y": y first. In the middle of a sentence it may belong to what stands before.
        if ((opens(i) || links(i - 1)) && governs(i + length, x.start, x.end)) votes.add(!forward);
        else return null;
      } else if (i >= x.end && i < y.start) {
        // "x before y", and nothing behind it: otherwise it may belong to what follows.
        if (!opens(i) && ends && governs(i + length, y.start, y.end)) votes.add(forward);
        else return null;
      } else if (i >= y.end && opens(i + length)) votes.add(!forward);
    } else if (cue === 'first') {
      if (inX) votes.add(true);
      else if (i >= y.start) votes.add(false);
      else {
        const behind = i + length;
        const closes = i - x.end <= 2 && !pauses(i) && !links(i - 1) && (links(behind) || pauses(behind));
        const begins = (pauses(i) || links(i - 1)) && !links(behind);
        if (closes === begins) return null;
        votes.add(closes);
      }
    }
    i += Math.max(1, length);
  }
  return votes.size === 1 ? votes.has(true) : null;
}

/**
 * Evidence is the one place that decided; who tells a step twice ("breathe out, press, hold, then breathe out")
 * has told it in its place as well. The told-early step again after the other, or the other before it, counts.
 */
function toldTwice(
  first: Finding,
  then: Finding,
  text: string,
  step: JudgeStep,
  pack: LanguagePack,
): boolean {
  const says = (concept: string, part: string): boolean => {
    const concepts = step.concepts.filter(({ id }) => id === concept);
    const facts = factsOf(part, step, pack);
    if (facts.tokens.length === 0) return false;
    const label = verdicts({ ...step, concepts }, facts, 1)[0]?.label;
    return label === 'understood' || label === 'partial';
  };
  const [early, late] = first.evidence[0]!.start < then.evidence[0]!.start ? [first, then] : [then, first];
  return (
    says(late.concept, text.slice(0, early.evidence[0]!.start)) ||
    says(early.concept, text.slice(late.evidence.at(-1)!.end))
  );
}
