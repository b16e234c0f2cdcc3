import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { Token } from './normalize';
import { type PhraseFinder, phraseFinder } from './phrases';

/** How each word of an answer is meant. */
export interface Standing {
  /** Asked, not said. */
  question: boolean[];
  /** A habit of the past. */
  past: boolean[];
  /** What somebody else does or thinks. */
  other: boolean[];
  /** Where a repair begins ("no wait"), and where it ends. */
  repairs: { start: number; end: number }[];
  /** A word that begins another step of the story ("then"). */
  breaks: boolean[];
  /** A word that begins another case; what stands before belongs to the case before. */
  cases: boolean[];
  /** Where the speaker turns down what went before ("I said absolutely not"). */
  rejects: number[];
}

interface Finders {
  repairs: PhraseFinder;
  past: PhraseFinder;
  now: PhraseFinder;
  asks: PhraseFinder;
  others: PhraseFinder;
  rejects: PhraseFinder;
}
const finders = new WeakMap<LanguagePack, Finders>();

function findersOf(pack: LanguagePack): Finders {
  let known = finders.get(pack);
  if (!known) {
    known = {
      repairs: phraseFinder(pack.repairs),
      past: phraseFinder(pack.past),
      now: phraseFinder(pack.now),
      asks: phraseFinder(pack.question.phrases),
      others: phraseFinder(pack.others),
      rejects: phraseFinder(pack.rejects),
    };
    finders.set(pack, known);
  }
  return known;
}

/** Words of a case: condition and what is done. */
const shortestCase = 5;
const longestQuestion = 14;
const longestPast = 14;
const longestOther = 12;

/**
 * A speaker who puts the condition first ("if it fails I call ...") begins each further case with one. A case
 * has its own act behind it: "call if it gets worse" at the end of such an answer is no new case.
 */
function startsCase(tokens: readonly Token[], at: number, { cases, acts, negation }: LanguagePack): boolean {
  // "If it itches or if it burns" is one case.
  const opens = (k: number) =>
    cases.includes(tokens[k]!.word) && !negation.or.includes(tokens[k - 1]?.word ?? '');
  if (!opens(at)) return false;
  const first = tokens.findIndex((_, k) => opens(k));
  if (at - first < shortestCase) return false;
  // "I call if ..." puts the act first.
  if (tokens.slice(0, first).some((token) => acts.includes(token.word))) return false;
  for (let k = at + 1; k < tokens.length && !opens(k); k++) if (acts.includes(tokens[k]!.word)) return true;
  return false;
}

/** What is asked, what is over, what others do, and what is taken back. */
export function standingOf(tokens: readonly Token[], pack: LanguagePack): Standing {
  const find = findersOf(pack);
  const count = tokens.length;
  const none = (): boolean[] => new Array<boolean>(count).fill(false);
  const standing: Standing = {
    question: none(),
    past: none(),
    other: none(),
    breaks: none(),
    cases: none(),
    repairs: [],
    rejects: [],
  };
  const { bare, people, auxiliaries, subjects, notAfter, openers, tags, answers, told = [] } = pack.question;

  let sentence = 0;
  for (let i = 0; i < count; i++) {
    const word = tokens[i]!.word;
    const before = tokens[i - 1]?.word;
    const next = tokens[i + 1]?.word ?? '';
    const pronoun = subjects.indexOf(next) >= 0 && subjects.indexOf(next) < 7;
    const inverted =
      auxiliaries.includes(word) &&
      subjects.includes(next) &&
      // "do the same", "does the same", "do it all again" are told, "do you" asks.
      (word !== bare || people.includes(next)) &&
      !told.includes(tokens[i + 2]?.word ?? '') &&
      (before === undefined ||
        tokens[i - 1]!.asks ||
        openers.includes(before) ||
        (pronoun &&
          !notAfter.includes(before) &&
          auxiliaries.indexOf(word) < 3 &&
          tokens[i + 1]!.word === 'i'));
    const asked = find.asks.at(tokens, i);
    if (inverted || asked > 0) {
      let end = i + Math.max(2, asked);
      while (end < count && end < i + longestQuestion && !tokens[end - 1]!.asks) {
        if (end > i + 3 && answers.includes(tokens[end]!.word)) break;
        end++;
      }
      for (let k = i; k < end; k++) standing.question[k] = true;
    }
    if (tokens[i]!.asks) {
      const tail = tokens
        .slice(Math.max(sentence, i - 2), i + 1)
        .map((token) => token.word)
        .join(' ');
      const tag = tags.some((phrase) => tail === phrase || tail.endsWith(` ${phrase}`));
      if (!tag) {
        // Without full stops the question is what follows the last turn of thought.
        let from = i;
        while (from > sentence && i - from < longestQuestion) {
          if (
            from < i - 1 &&
            (openers.slice(0, 4).includes(tokens[from - 1]!.word) || tokens[from - 1]!.asks)
          )
            break;
          from--;
        }
        for (let k = from; k <= i; k++) standing.question[k] = true;
      }
      sentence = i + 1;
    }

    const over = find.past.at(tokens, i);
    const accustomed =
      ['be', 'are', 'is', 'am', 'get', 'was', 'were'].includes(before ?? '') && word === 'used';
    // "more than I used to" compares.
    const compared = tokens[i - 2]?.word === pack.than || before === pack.than;
    if (over > 0 && !accustomed && !compared) {
      for (let k = i; k < count && k < i + longestPast; k++) {
        if (k >= i + over && (find.now.at(tokens, k) > 0 || pack.pastEnds.includes(tokens[k]!.word))) break;
        standing.past[k] = true;
      }
    }
    // "My husband gulps it but I go slow": of one's own people, only where the speaker is set against them.
    const setAgainst =
      pack.kin.includes(word) &&
      tokens
        .slice(i + 1, i + longestOther)
        .some((token, k) => pack.turns.includes(token.word) && tokens[i + k + 2]?.word === pack.self);
    if (setAgainst || find.others.at(tokens, i) > 0) {
      const tells = [1, 2, 3].some((k) => pack.tells.includes(tokens[i + k]?.word ?? ''));
      if (!tells) {
        for (let k = i; k < count && k < i + longestOther; k++) {
          const here = tokens[k]!.word;
          if (k > i + 1 && pack.othersEnd.includes(here)) break;
          standing.other[k] = true;
        }
      }
    }
    standing.breaks[i] = pack.breaks.includes(word);
    standing.cases[i] = startsCase(tokens, i, pack);
    const repair = find.repairs.at(tokens, i);
    if (repair > 0) standing.repairs.push({ start: i, end: i + repair });
    if (find.rejects.at(tokens, i) > 0) standing.rejects.push(i);
  }
  return standing;
}
