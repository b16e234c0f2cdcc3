import type { JudgingFile } from '../../phrasebanks/judging';
import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { normalize, stemOf } from './normalize';
import type { Facts } from './pattern';

/*
 * "I like my steak ten minutes on each side" says "ten minutes", but of something else. Where only a word or
 * two decide, the words around them must belong to what is taught.
 */

/** Words by what they tell about the matter of a talk; stems. */
export interface Topic {
  /** Every word of the module. */
  known: ReadonlySet<string>;
  /** Words of any talk. */
  small: ReadonlySet<string>;
  /** "like": what follows is a picture, not a matter. */
  likens: ReadonlySet<string>;
}

/** `named`: the words and phrases that the patterns of the file name. */
export function topicOf(judging: JudgingFile, named: Iterable<string>, pack: LanguagePack): Topic {
  const { numbers } = pack;
  const small = [
    pack.stopWords,
    pack.fillers,
    pack.kin,
    Object.keys(numbers.units),
    Object.keys(numbers.tens),
  ].flat();
  const texts = [
    ...Object.values(judging.words).flat(),
    ...Object.values(judging.concepts).flatMap((concept) => [
      concept.says,
      ...concept.accept,
      ...concept.contradictions.flatMap((item) => [item.says, ...(item.phrases ?? [])]),
    ]),
    ...named,
  ];
  return {
    known: new Set(texts.flatMap((text) => normalize(text, pack).map((token) => token.stem))),
    small: new Set(small.flatMap((text) => text.split(' ')).map((word) => stemOf(word, pack))),
    likens: new Set(pack.likens ?? []),
  };
}

/** So many words around those that decide belong to the same thought. */
const around = 5;
/** More deciding words than this speak for themselves. */
const few = 2;
/** From this share on the words around are of another matter. */
const strange = 0.25;
/** And from here on when one word decides. */
const strangeToOne = 0.2;
/** So many words of what is taught, and none of another matter, make a side clean. */
const clean = 2;

/** So many different words of what is taught, at such a share of all, make the whole answer one of this matter. */
const manyKnown = 5;
const mostlyKnown = 0.6;
/** A picture goes on this many words behind "like". */
const pictureReach = 5;

/** Is the word at each position one that the phrasebank looks for? Found once an answer. */
const placed = new WeakMap<Facts, boolean[]>();
function placesIn(facts: Facts): boolean[] {
  const known = placed.get(facts);
  if (known) return known;
  const found = facts.tokens.map(() => false);
  for (const list of facts.places.values())
    for (const place of list) for (let at = place.start; at < place.end; at++) found[at] = true;
  placed.set(facts, found);
  return found;
}

/**
 * Words of another matter around the few words that decide (token positions), in order; empty when the talk is
 * of what is taught. `guessed`: they were found by spelling or sound; one telling word is then never enough, and
 * two only when no word of another matter stands near.
 */
export function otherMatter(
  deciding: readonly number[],
  guessed: boolean,
  facts: Facts,
  topic: Topic,
): string[] {
  const { tokens } = facts;
  const own = new Set(deciding);
  const [first] = deciding;
  if (first === undefined) return [];
  const tells = (at: number): boolean => {
    const token = tokens[at];
    return token !== undefined && !topic.small.has(token.stem) && !/^\d/.test(token.word);
  };
  const telling = [...own].filter(tells);
  if (telling.length > few) return [];
  if (guessed && telling.length <= 1) return [tokens[telling[0] ?? first]?.word ?? ''];
  const found = placesIn(facts);
  const start = Math.min(...own);
  const end = Math.max(...own);
  const picture = (at: number): boolean => {
    for (let k = at - 1; k >= Math.max(0, at - pictureReach) && !own.has(k); k--)
      if (topic.likens.has(tokens[k]!.word)) return true;
    return false;
  };
  if (!guessed) {
    const known = new Set<string>();
    let knownAt = 0;
    let allAt = 0;
    for (let at = 0; at < tokens.length; at++) {
      if (own.has(at) || !tells(at) || picture(at)) continue;
      allAt++;
      if (!topic.known.has(tokens[at]!.stem) && !found[at]) continue;
      knownAt++;
      known.add(tokens[at]!.stem);
    }
    if (known.size >= manyKnown && knownAt / allAt >= mostlyKnown) return [];
  }
  let all = 0;
  const other: string[] = [];
  /** Words of the matter before, among and behind those that decide; two make a side a matter of its own. */
  const same = [0, 0, 0];
  const strangeAt = [0, 0, 0];
  for (let at = Math.max(0, start - around); at <= Math.min(tokens.length - 1, end + around); at++) {
    if (!tells(at) || picture(at)) continue;
    all++;
    const side = at < start ? 0 : at > end ? 2 : 1;
    if (topic.known.has(tokens[at]!.stem) || found[at]) {
      if (!own.has(at)) same[side]!++;
    } else {
      other.push(tokens[at]!.word);
      strangeAt[side]!++;
    }
  }
  if (guessed && other.length > 0) return other;
  // One clean side is enough: the other may be the end of what was said before.
  if ([0, 2].some((side) => strangeAt[side] === 0 && same[side]! >= clean)) return [];
  return all > 0 && other.length / all >= (telling.length > 1 ? strange : strangeToOne) ? other : [];
}
