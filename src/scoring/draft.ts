import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { noAnswer, opposites } from './draftWords';
import { normalize, stemOf, type Token } from './normalize';
import { type PhraseFinder, phraseFinder } from './phrases';
import { findNegations, type Negation, negated } from './polarity';
import { edits } from './similar';

/*
 * Judging against plain sentences alone: each sentence is laid beside the answer word by word. What that
 * shows, `clues`, is weighed in draftModel.ts.
 */

interface Word {
  stem: string;
  word: string;
  at: number;
  weight: number;
  negated: boolean;
  /** The second of two opposites, read as the first. */
  flipped: boolean;
  /** Where the negators stand that reach it. */
  under: number[];
}

interface Sentence {
  text: string;
  words: Word[];
  weight: number;
  /** Weight of the words that the question does not hold. */
  fresh: number;
}

/** A concept described by plain sentences alone. */
export interface DraftConcept {
  id: string;
  says: string;
  accept?: readonly string[] | undefined;
  /** What was asked: to repeat its words earns less. */
  question?: string | undefined;
}

interface Reading {
  pack: LanguagePack;
  /** Stem -> the first of two opposites. */
  opposite: ReadonlyMap<string, { stem: string; flipped: boolean }>;
  weightOf(stem: string): number;
}

/** A concept known by sentences, compiled. */
export interface Draft {
  sentences: Sentence[];
  asked: ReadonlySet<string>;
  /** Stems of every sentence of the step: to say them is not beside the point. */
  known: ReadonlySet<string>;
  reading: Reading;
}

/** What lies between an answer and the sentences of a concept; each 0..1. */
export interface Clues {
  /** Share of the best sentence that is said in words of one's own, not of the question. */
  fresh: number;
  /** Share of the answer in words of no sentence and not of the question. */
  foreign: number;
  /** Says that there is no answer. */
  silent: number;
  /** How much nearer the answer comes to a sentence turned round than to one left as it is. */
  turned: number;
  /** Said with the right sign, times the share of the answer that says it. */
  both: number;
  /** Harmonic mean of the said share of a sentence and that share of the answer, less when turned round. */
  harmony: number;
  /** Share of a sentence that is said in its order. */
  order: number;
  /** Share of the answer in words of the question. */
  echo: number;
}

export interface DraftLook {
  clues: Clues;
  /** The nearest sentence. */
  text: string;
  /** Token positions of the words that it shares with the answer. */
  at: number[];
}

/** Weight of a word that carries little, of a frequent word of no sentence, of a misspelt one. */
const little = 0.15;
const usual = 0.4;
const misspelt = 0.85;
/** More places of one word, and more stretches, than this are not looked at. */
const manyPlaces = 60;
const manyStretches = 300;
/** Words before and behind those of the sentence that count as the same thought. */
const margin = 4;

function read(text: string, reading: Reading): Word[] {
  const tokens = normalize(text, reading.pack);
  return wordsOf(tokens, findNegations(tokens, reading.pack), reading);
}

/** "four" is read as "4", the second of two opposites as the first, negated. */
function wordsOf(tokens: readonly Token[], negations: readonly Negation[], reading: Reading): Word[] {
  const { units } = reading.pack.numbers;
  return tokens.map(({ word, stem: plain }, at) => {
    const same = reading.opposite.get(plain);
    const stem = Object.hasOwn(units, word) ? String(units[word]) : (same?.stem ?? plain);
    const flipped = same?.flipped ?? false;
    return {
      stem,
      word,
      at,
      weight: reading.weightOf(stem),
      negated: negated(negations, at, at + 1) !== flipped,
      flipped,
      under: negations.filter((item) => at >= item.from && at < item.to).map((item) => item.start),
    };
  });
}

const sum = (words: readonly Word[]): number => words.reduce((total, word) => total + word.weight, 0);
const telling = (word: Word): boolean => word.weight > little;

/**
 * Compiles the concepts of a step. `background`: other sentences of the same trade, from which the weight of
 * a word (inverse document frequency) is learnt as well.
 */
export function compileDrafts(
  concepts: readonly DraftConcept[],
  pack: LanguagePack,
  background: readonly string[] = [],
): Draft[] {
  const opposite = new Map<string, { stem: string; flipped: boolean }>();
  for (const [first, second] of opposites[pack.language] ?? []) {
    const stem = stemOf(first, pack);
    opposite.set(stem, { stem, flipped: false });
    opposite.set(stemOf(second, pack), { stem, flipped: true });
  }
  const stop = new Set(pack.stopWords.map((word) => stemOf(word, pack)));
  const common = new Set(pack.common.map((word) => stemOf(word, pack)));
  const sentences = concepts.flatMap((concept) => [concept.says, ...(concept.accept ?? [])]);
  const documents = [...sentences, ...background];
  const containing = new Map<string, number>();
  const even: Reading = { pack, opposite, weightOf: () => 1 };
  for (const text of documents)
    for (const stem of new Set(read(text, even).map((word) => word.stem)))
      containing.set(stem, (containing.get(stem) ?? 0) + 1);
  const rarest = Math.log(2 + documents.length);
  const reading: Reading = {
    pack,
    opposite,
    weightOf: (stem) => {
      if (stop.has(stem)) return little;
      const times = containing.get(stem);
      if (times === undefined && common.has(stem)) return usual;
      return Math.log(2 + documents.length / (times ?? 1)) / rarest;
    },
  };
  const known = new Set(sentences.flatMap((text) => read(text, reading).map((word) => word.stem)));
  return concepts.map((concept) => {
    const asked = new Set(read(concept.question ?? '', reading).map((word) => word.stem));
    return {
      asked,
      known,
      reading,
      sentences: [concept.says, ...(concept.accept ?? [])].map((text) => {
        const words = read(text, reading);
        return {
          text,
          words,
          weight: sum(words),
          fresh: sum(words.filter((word) => !asked.has(word.stem))),
        };
      }),
    };
  });
}

interface Answer {
  words: Word[];
  byStem: Map<string, Word[]>;
  content: Word[];
  silent: boolean;
}

const finders = new WeakMap<LanguagePack, PhraseFinder>();

function answerOf(
  tokens: readonly Token[],
  negations: readonly Negation[],
  reading: Reading,
  unsaid: (at: number) => boolean,
): Answer {
  const { pack } = reading;
  const words = wordsOf(tokens, negations, reading).filter((word) => !unsaid(word.at));
  const byStem = new Map<string, Word[]>();
  for (const word of words) {
    const list = byStem.get(word.stem);
    if (!list) byStem.set(word.stem, [word]);
    else if (list.length < manyPlaces) list.push(word);
  }
  const finder = finders.get(pack) ?? phraseFinder(noAnswer[pack.language] ?? []);
  finders.set(pack, finder);
  return {
    words,
    byStem,
    content: words.filter(telling),
    silent: tokens.some((_, i) => finder.at(tokens, i) > 0),
  };
}

/** Words of the answer that are spelt nearly like one of the sentence. */
function near(word: Word, answer: Answer): Word[] {
  if (word.word.length < 5 || !telling(word)) return [];
  const found: Word[] = [];
  for (const [stem, list] of answer.byStem) {
    if (stem[0] !== word.stem[0] && stem[1] !== word.stem[1]) continue;
    const theirs = list[0]!.word;
    if (theirs.length < 4) continue;
    const limit = Math.max(word.word.length, theirs.length) >= 8 ? 2 : 1;
    if (edits(theirs, word.word, limit) <= limit || edits(stem, word.stem, limit) < limit)
      found.push(...list);
    if (found.length > manyPlaces) break;
  }
  return found;
}

/** Length of the longest rising run of numbers, gaps allowed. */
function rising(numbers: readonly number[]): number {
  const tails: number[] = [];
  for (const value of numbers) {
    const at = tails.findIndex((tail) => tail >= value);
    if (at < 0) tails.push(value);
    else tails[at] = value;
  }
  return tails.length;
}

/** How often the sense is turned round: each negator once, each second of two opposites once. */
function turns(words: readonly Word[]): number {
  const content = words.filter(telling);
  return new Set(content.flatMap((word) => word.under)).size + content.filter((word) => word.flipped).length;
}

interface Laid {
  /** Words of the sentence, and of the answer, in the order of the answer. */
  pairs: { own: Word; theirs: Word; value: number }[];
  said: number;
  /** Weight said with the wrong sign. */
  wrong: number;
}

/** The stretch of the answer that says most of a sentence. */
function lay(sentence: Sentence, answer: Answer): Laid {
  const hits = sentence.words.flatMap((own, index) => {
    const exact = answer.byStem.get(own.stem);
    const value = exact ? 1 : misspelt;
    return (exact ?? near(own, answer)).map((theirs) => ({ own, theirs, value, index }));
  });
  hits.sort((a, b) => a.theirs.at - b.theirs.at || a.index - b.index);
  const width = sentence.words.length * 2 + 10;
  let best: Laid = { pairs: [], said: 0, wrong: 0 };
  for (let i = 0; i < Math.min(hits.length, manyStretches); i++) {
    const from = hits[i]!.theirs.at;
    if (i > 0 && (hits[i - 1]!.theirs.at === from || answer.words.length <= width)) continue;
    const chosen = new Map<number, (typeof hits)[number]>();
    const used = new Set<number>();
    for (let k = i; k < hits.length && hits[k]!.theirs.at < from + width; k++) {
      const hit = hits[k]!;
      if (used.has(hit.theirs.at)) continue;
      const before = chosen.get(hit.index);
      if (before && (before.theirs.negated === hit.own.negated || hit.theirs.negated !== hit.own.negated))
        continue;
      if (before) used.delete(before.theirs.at);
      chosen.set(hit.index, hit);
      used.add(hit.theirs.at);
    }
    const pairs = [...chosen.values()].sort((a, b) => a.theirs.at - b.theirs.at);
    let said = 0;
    let wrong = 0;
    for (const { own, theirs, value } of pairs) {
      said += own.weight * value;
      if (telling(own) && theirs.negated !== own.negated) wrong += own.weight * value;
    }
    if (said - wrong / 2 > best.said - best.wrong / 2) best = { pairs, said, wrong };
  }
  return best;
}

/**
 * Lays an answer beside every sentence of a concept and tells what that shows. `unsaid`: is the word at this
 * position asked, or told of the past?
 */
export function lookAt(
  draft: Draft,
  tokens: readonly Token[],
  negations: readonly Negation[],
  unsaid: (at: number) => boolean = () => false,
): DraftLook {
  const answer = answerOf(tokens, negations, draft.reading, unsaid);
  const { content } = answer;
  const clues: Clues = {
    fresh: 0,
    foreign: 1,
    silent: Number(answer.silent),
    turned: 0,
    both: 0,
    harmony: 0,
    order: 0,
    echo: 0,
  };
  const nothing = { clues, text: draft.sentences[0]?.text ?? '', at: [] };
  if (content.length === 0) return nothing;
  const whole = sum(content);
  clues.echo = sum(content.filter((word) => draft.asked.has(word.stem))) / whole;
  clues.foreign =
    sum(content.filter((word) => !draft.known.has(word.stem) && !draft.asked.has(word.stem))) / whole;
  let best: { value: number; sentence: Sentence; laid: Laid; precision: number } | null = null;
  let straight = 0;
  let even = 0;
  let odd = 0;
  for (const sentence of draft.sentences) {
    const laid = lay(sentence, answer);
    if (laid.pairs.length === 0) continue;
    const theirs = laid.pairs.map((pair) => pair.theirs);
    const from = theirs[0]!.at - margin;
    const to = theirs.at(-1)!.at + margin;
    const stretch = sum(content.filter((word) => word.at >= from && word.at <= to));
    const precision = stretch > 0 ? Math.min(1, sum(theirs.filter(telling)) / stretch) : 0;
    const cover = laid.said / sentence.weight;
    const wrong = laid.wrong / laid.said;
    const turned = (turns(laid.pairs.map((pair) => pair.own)) + turns(theirs)) % 2 === 1;
    const harmony = cover + precision > 0 ? (2 * cover * precision) / (cover + precision) : 0;
    const inOrder = rising(laid.pairs.map((pair) => pair.own.at)) / sentence.words.length;
    straight = Math.max(straight, cover * (1 - wrong));
    if (turned) odd = Math.max(odd, (cover + precision) / 2);
    else even = Math.max(even, (cover + precision) / 2);
    clues.harmony = Math.max(clues.harmony, harmony * (1 - wrong) * (turned ? 0.7 : 1));
    clues.order = Math.max(clues.order, inOrder);
    const value = (cover + harmony) / 2 - (wrong * 0.25 + (turned ? 0.1 : 0)) * cover;
    if (!best || value > best.value) best = { value, sentence, laid, precision };
  }
  if (!best) return nothing;
  const { laid, sentence, precision } = best;
  const own = laid.pairs.filter((pair) => !draft.asked.has(pair.own.stem));
  clues.fresh =
    sentence.fresh > 0
      ? own.reduce((total, pair) => total + pair.own.weight * pair.value, 0) / sentence.fresh
      : laid.said / sentence.weight;
  clues.turned = Math.max(0, odd - even);
  clues.both = straight * precision;
  return {
    clues,
    text: sentence.text,
    at: laid.pairs.filter((pair) => telling(pair.theirs)).map((pair) => pair.theirs.at),
  };
}
