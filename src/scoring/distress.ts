import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { CommonFile } from '../../phrasebanks/schema';
import { standingOf } from './clauses';
import { type Lexicon, makeLexicon } from './lexicon';
import { normalize, position, type Token } from './normalize';
import { classesOf, compilePattern, type Facts, findPattern, type Match, type Pattern } from './pattern';
import { findNegations, type Negation, negated } from './polarity';

/** Of whom or of when something is told is said within so many words before it. */
const leadReach = 8;
/** What calms stands within so many words of the sign. */
const calmReach = 10;

interface Signs {
  lexicon: Lexicon;
  phrases: { text: string; words: readonly Token[] }[];
  own: Pattern[];
  anyone: Pattern[];
  calm: Pattern[];
}
const compiled = new WeakMap<CommonFile, Signs>();

/** Compiles the signs of a language, or throws with the pattern that cannot be read. */
function signsOf(common: CommonFile, pack: LanguagePack): Signs {
  const known = compiled.get(common);
  if (known) return known;
  const { words, phrases, own, anyone, calm } = common.distress;
  const named = new Set<string>();
  const compile = (source: string): Pattern => {
    const pattern = compilePattern(source, (text) => named.add(text));
    for (const name of classesOf(pattern))
      if (!words[name])
        throw new Error(`common/${common.language}.json, distress: "${source}": there is no words.${name}`);
    return pattern;
  };
  const patterns = { own: own.map(compile), anyone: anyone.map(compile), calm: calm.map(compile) };
  const signs = {
    lexicon: makeLexicon(words, named, pack.common, pack),
    phrases: phrases.map((text) => ({ text, words: normalize(text, pack) })),
    ...patterns,
  };
  compiled.set(common, signs);
  return signs;
}

/** The words of distress in an answer, said of now and here, or null. */
export function distressIn(tokens: readonly Token[], common: CommonFile, pack: LanguagePack): string | null {
  const signs = signsOf(common, pack);
  const negations = findNegations(tokens, pack);
  const facts: Facts = {
    tokens,
    places: signs.lexicon.find(tokens),
    negations,
    quantities: [],
    standing: standingOf(tokens, pack),
  };
  const calm = signs.calm.flatMap((pattern) => findPattern(pattern, facts, []));
  const raised = (match: Match, ofAnyone: boolean): boolean =>
    !calm.some(
      (one) =>
        one.start - match.end < calmReach &&
        match.start - one.end < calmReach &&
        // "Last year I had a heart attack, and now my chest hurts."
        !tokens.slice(one.end, match.start).some((token) => pack.now.includes(token.word)),
    ) &&
    isNow(match, facts, pack) &&
    (ofAnyone || (!facts.standing.other[match.start] && !isOfAnother(match, tokens, pack)));
  const said = ({ start, end }: Match): string =>
    tokens
      .slice(start, end)
      .map((token) => token.word)
      .join(' ');

  for (const { text, words } of signs.phrases)
    for (let at = position(tokens, words); at >= 0; at = position(tokens, words, at + 1)) {
      const match = { start: at, end: at + words.length, places: [] };
      if (!deniedAround(match, negations) && raised(match, false)) return text;
    }
  for (const pattern of signs.anyone) {
    const match = findPattern(pattern, facts, []).find((one) => raised(one, true));
    if (match) return said(match);
  }
  for (const pattern of signs.own) {
    const match = findPattern(pattern, facts, []).find((one) => raised(one, false));
    if (match) return said(match);
  }
  return null;
}

/** "I can't breathe" holds its own denial; one from outside takes the phrase back. */
function deniedAround({ start, end }: Match, negations: readonly Negation[]): boolean {
  const own = negations.some((item) => item.start >= start && item.end <= end);
  return !own && negated(negations, start, end);
}

/** Not asked, not past, no case ("if ..."), and not what one would do ("... I call 911"). */
function isNow({ start, end }: Match, { tokens, standing }: Facts, pack: LanguagePack): boolean {
  if (standing.question[start] || standing.past[start]) return false;
  const before = leadOf(start, tokens, pack);
  if (before.some((word) => pack.conditions.includes(word))) return false;
  const after = tokens.slice(end, end + leadReach).map((token) => token.word);
  return !after.some((word, k) => word === pack.callWord && after[k - 1] === pack.self && k > 0);
}

/** Somebody else is named before it, and the speaker not since. */
function isOfAnother({ start }: Match, tokens: readonly Token[], pack: LanguagePack): boolean {
  const before = leadOf(start, tokens, pack);
  const other = before.findLastIndex((word) => pack.kin.includes(word));
  const own = new Set([pack.self, ...(pack.selves ?? [])]);
  return other >= 0 && !before.slice(other).some((word) => own.has(word)) && !own.has(tokens[start]!.word);
}

/** The words before a position; what stands before "now" is over. */
function leadOf(start: number, tokens: readonly Token[], pack: LanguagePack): string[] {
  const before = tokens.slice(Math.max(0, start - leadReach), start).map((token) => token.word);
  const now = before.findLastIndex((word) => pack.now.includes(word));
  return now >= 0 ? before.slice(now) : before;
}
