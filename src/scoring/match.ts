import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { Lexicon } from './lexicon';
import { normalize, stemOf, type Token } from './normalize';
import type { Facts } from './pattern';
import { findNegations, negated } from './polarity';

/*
 * Soft word matching of a whole phrase: how much of its weight (inverse document frequency over the
 * phrasebank) stands close together in the answer, each word by form, class, spelling or sound.
 */

interface PhraseWord {
  stem: string;
  /** Classes of the word; another word of the same class counts nearly as much. */
  atoms: string[];
  weight: number;
  negated: boolean;
  /** Tells this phrase from the right ones. */
  tells: boolean;
}

/** A whole phrase, ready to be compared. */
export interface SoftPhrase {
  text: string;
  words: PhraseWord[];
  weight: number;
  /** Weight of the words that tell it from its opposite; 0 when none does. See `telling`. */
  telling: number;
}

/** How well a phrase is covered by the best stretch of an answer. */
export interface Cover {
  /** 0..1 */
  said: number;
  /** Share of the covered weight whose polarity is turned round, 0..1. */
  turned: number;
  /** Share of the telling weight that is covered, 0..1; 1 when nothing is telling. */
  told: number;
  /** Token positions of the words that cover it. */
  at: number[];
}

const numberWeight = 1.5;
const stopWeight = 0.15;

export type Weights = (stem: string) => number;

interface Fixed {
  stop: ReadonlySet<string>;
  stopStems: ReadonlySet<string>;
  numbers: ReadonlySet<string>;
}
const fixed = new WeakMap<LanguagePack, Fixed>();

/** Stems whose weight is the same in any phrasebank. */
function fixedOf(pack: LanguagePack): Fixed {
  let known = fixed.get(pack);
  if (!known) {
    const { units, tens } = pack.numbers;
    known = {
      stop: new Set(pack.stopWords),
      stopStems: new Set(pack.stopWords.flatMap((word) => stemsOf(word, pack))),
      numbers: new Set(
        [...Object.keys(units), ...Object.keys(tens), ...Object.keys(pack.once)].map((word) =>
          stemOf(word, pack),
        ),
      ),
    };
    fixed.set(pack, known);
  }
  return known;
}

export const stemsOf = (text: string, pack: LanguagePack): string[] =>
  normalize(text, pack).map((token) => token.stem);

/** Inverse document frequency of stems, smoothed: ln(1 + documents / containing). A document is its stems. */
export function weigh(documents: readonly ReadonlySet<string>[], pack: LanguagePack): Weights {
  const containing = new Map<string, number>();
  for (const stems of documents)
    for (const stem of stems) containing.set(stem, (containing.get(stem) ?? 0) + 1);
  const { stop, stopStems, numbers } = fixedOf(pack);
  const weightOf = (stem: string): number => {
    // How many decides much in a short phrase.
    if (numbers.has(stem) || /^\d/.test(stem)) return numberWeight;
    if (stop.has(stem) || stopStems.has(stem)) return stopWeight;
    return Math.log(1 + (documents.length + 1) / (containing.get(stem) ?? 1));
  };
  const known = new Map([...containing.keys()].map((stem) => [stem, weightOf(stem)]));
  return (stem) => known.get(stem) ?? weightOf(stem);
}

function atomsByToken(tokens: readonly Token[], lexicon: Lexicon): string[][] {
  const lists: string[][] = tokens.map(() => []);
  for (const [atom, places] of lexicon.find(tokens)) {
    if (!atom.startsWith('@')) continue;
    for (const place of places) {
      if (place.end - place.start <= 2) for (let k = place.start; k < place.end; k++) lists[k]?.push(atom);
    }
  }
  return lists;
}

/** A phrase before it is known what its words are worth. */
export interface ReadPhrase {
  text: string;
  words: Omit<PhraseWord, 'weight' | 'tells'>[];
}

/** Text -> its words; those that the lexicon has, if any, with their classes. */
export function readPhrase(text: string, lexicon: Lexicon | null, pack: LanguagePack): ReadPhrase {
  const tokens = normalize(text, pack);
  const negations = findNegations(tokens, pack);
  const atoms = lexicon ? atomsByToken(tokens, lexicon) : [];
  return {
    text,
    words: tokens.map((token, i) => ({
      stem: token.stem,
      atoms: atoms[i] ?? [],
      negated: negated(negations, i, i + 1),
    })),
  };
}

export function softPhrase({ text, words: read }: ReadPhrase, weights: Weights): SoftPhrase {
  let weight = 0;
  const words = read.map(({ stem, atoms, negated }) => {
    const word = { stem, atoms, weight: weights(stem), negated, tells: false };
    weight += word.weight;
    return word;
  });
  return { text, words, weight, telling: 0 };
}

/** Marks the words of a mistake that no right phrase has. */
export function telling(mistake: SoftPhrase, right: readonly SoftPhrase[]): SoftPhrase {
  const usual = new Set(right.flatMap((phrase) => phrase.words.map((word) => word.stem)));
  const words = mistake.words.map((word) => ({ ...word, tells: word.weight > 0.5 && !usual.has(word.stem) }));
  return { ...mistake, words, telling: words.reduce((sum, word) => sum + (word.tells ? word.weight : 0), 0) };
}

/** What `cover` needs of an answer, made once. */
export interface SoftAnswer {
  /** Where a stem, or a word of a class, is said; nowhere is no entry. Not in a question, nor of what is past. */
  byStem: Map<string, number[]>;
  byAtom: Map<string, number[]>;
  negated: boolean[];
}

export function softAnswer(facts: Pick<Facts, 'tokens' | 'places' | 'negations' | 'standing'>): SoftAnswer {
  const byStem = new Map<string, number[]>();
  const byAtom = new Map<string, number[]>();
  const put = (map: Map<string, number[]>, key: string, at: number): void => {
    const list = map.get(key);
    if (!list) map.set(key, [at]);
    else if (list.length < 60) list.push(at);
  };
  facts.tokens.forEach((token, i) => {
    put(byStem, token.stem, i);
  });
  for (const [atom, places] of facts.places) {
    if (!atom.startsWith('@')) continue;
    for (const place of places) {
      if (place.end - place.start <= 2) for (let k = place.start; k < place.end; k++) put(byAtom, atom, k);
    }
  }
  const { question, past } = facts.standing;
  for (const map of [byStem, byAtom])
    for (const [key, list] of map) {
      const standing = list.filter((at) => !question[at] && !past[at]);
      if (standing.length === 0) map.delete(key);
      else if (standing.length < list.length) map.set(key, standing);
    }
  return { byStem, byAtom, negated: facts.tokens.map((_, i) => negated(facts.negations, i, i + 1)) };
}

const synonym = 0.6;
/** What sums of the same weights in another order may differ by. */
const rounding = 1e-9;

/** Best stretch of the answer for a phrase. */
export function cover(phrase: SoftPhrase, answer: SoftAnswer): Cover {
  const nothing: Cover = { said: 0, turned: 0, told: 0, at: [] };
  // Most phrases have little to do with an answer: that is found out first.
  let reachable = 0;
  for (const word of phrase.words) {
    if (answer.byStem.has(word.stem)) reachable += word.weight;
    else if (word.atoms.some((atom) => answer.byAtom.has(atom))) reachable += synonym * word.weight;
  }
  if (phrase.weight === 0 || reachable / phrase.weight < 0.3) return nothing;
  const hits: { at: number; word: number; value: number }[] = [];
  phrase.words.forEach(({ stem, atoms }, word) => {
    const exact = answer.byStem.get(stem) ?? [];
    for (const at of exact) hits.push({ at, word, value: 1 });
    const first = hits.length;
    for (const atom of atoms)
      for (const at of answer.byAtom.get(atom) ?? [])
        if (!exact.includes(at) && !hits.some((hit, k) => k >= first && hit.at === at))
          hits.push({ at, word, value: synonym });
  });
  hits.sort((a, b) => a.at - b.at);
  const width = phrase.words.length + 6;
  // Of the stretch that is looked at, by the word of the phrase; 0: not said in it.
  const values = phrase.words.map(() => 0);
  const places = phrase.words.map(() => 0);
  let best = nothing;
  for (let i = 0; i < hits.length; i++) {
    const end = hits[i]!.at + width;
    let most = 0;
    for (let k = i; k < hits.length && hits[k]!.at < end; k++)
      most += phrase.words[hits[k]!.word]!.weight * hits[k]!.value;
    if (most + rounding < best.said * phrase.weight) continue;
    const words: number[] = [];
    let used = -1;
    for (let k = i; k < hits.length && hits[k]!.at < end; k++) {
      const { at, word, value } = hits[k]!;
      if (at === used || values[word]! >= value) continue;
      if (values[word] === 0) words.push(word);
      values[word] = value;
      places[word] = at;
      used = at;
    }
    let said = 0;
    let turned = 0;
    let told = 0;
    for (const index of words) {
      const word = phrase.words[index]!;
      const value = values[index]!;
      said += word.weight * value;
      // A word of the same class may be the right one: "week" does not tell "once a month".
      if (word.tells && value === 1) told += word.weight;
      if (answer.negated[places[index]!] !== word.negated && word.weight > 0.5) turned += word.weight * value;
    }
    if (said > best.said * phrase.weight)
      best = {
        said: said / phrase.weight,
        turned: said > 0 ? turned / said : 0,
        told: phrase.telling > 0 ? told / phrase.telling : 1,
        at: words.map((index) => places[index]!).sort((a, b) => a - b),
      };
    for (const index of words) values[index] = 0;
  }
  return best;
}
