import type { LanguagePack } from '../../phrasebanks/languages/pack';
import type { Token } from './normalize';
import { type PhraseFinder, phraseFinder } from './phrases';

/** A negator and the words it reaches, as token positions. */
export interface Negation {
  start: number;
  end: number;
  /** `verb`: forget, skip. Undoes a negation before it ("don't forget"). */
  kind: 'plain' | 'verb';
  from: number;
  to: number;
}

interface Finders {
  plain: PhraseFinder;
  verbs: PhraseFinder;
  after: PhraseFinder;
  dismissals: PhraseFinder;
  never: PhraseFinder;
  waits: PhraseFinder;
  sets: Record<
    | 'answerBefore'
    | 'verbsAfterAnd'
    | 'objects'
    | 'carries'
    | 'prepositions'
    | 'verbs'
    | 'light'
    | 'joins'
    | 'subjects'
    | 'intransitive'
    | 'copulas'
    | 'pronouns'
    | 'and'
    | 'or'
    | 'exceptive'
    | 'answers'
    | 'determiners'
    | 'alone'
    | 'urgent',
    Set<string>
  >;
  ends: PhraseFinder;
}
const finders = new WeakMap<LanguagePack, Finders>();

function findersOf(pack: LanguagePack): Finders {
  let known = finders.get(pack);
  if (!known) {
    const { negation } = pack;
    const inflected = negation.verbs.flatMap((verb) => {
      const [head = '', ...rest] = verb.split(' ');
      const tail = rest.length ? ` ${rest.join(' ')}` : '';
      const base = head.endsWith('e') ? head.slice(0, -1) : head;
      const doubled = /[aeiou][ptg]$/.test(head) ? head + head.at(-1) : base;
      return [...new Set([head, `${head}s`, `${base}ing`, `${doubled}ing`, `${base}ed`, `${doubled}ed`])].map(
        (form) => form + tail,
      );
    });
    known = {
      plain: phraseFinder(negation.plain),
      verbs: phraseFinder(pack.language.startsWith('en') ? inflected : negation.verbs),
      after: phraseFinder([...negation.after, ...(negation.dismissals ?? [])]),
      dismissals: phraseFinder(negation.dismissals ?? []),
      never: phraseFinder(negation.never),
      waits: phraseFinder(negation.waits ?? []),
      ends: phraseFinder(negation.ends),
      sets: {
        answerBefore: new Set(negation.answerBefore),
        verbsAfterAnd: new Set(negation.verbsAfterAnd),
        objects: new Set(negation.objects),
        carries: new Set(negation.carries),
        prepositions: new Set(negation.prepositions),
        verbs: new Set(negation.verbsNew),
        light: new Set([...negation.light, ...pack.stopWords]),
        joins: new Set(negation.joins),
        subjects: new Set(negation.subjects),
        alone: new Set(negation.alone),
        urgent: new Set(negation.urgent ?? []),
        determiners: new Set(negation.determiners),
        intransitive: new Set(negation.intransitive),
        copulas: new Set(negation.copulas ?? []),
        pronouns: new Set(negation.pronouns),
        and: new Set(pack.and),
        or: new Set(negation.or),
        exceptive: new Set(negation.exceptive),
        answers: new Set(pack.refusals),
      },
    };
    finders.set(pack, known);
  }
  return known;
}

/** A list goes on this many words behind what is known to be negated. */
const listReach = 5;

/** How far a negator at [start, end) reaches. */
function reachOf(
  tokens: readonly Token[],
  start: number,
  end: number,
  pack: LanguagePack,
  find: Finders,
): number {
  let k = end;
  let carried = false;
  let content = false;
  const subject = find.sets.subjects.has(tokens[start]!.word);
  const words = tokens
    .slice(start, end)
    .map((token) => token.word)
    .join(' ');
  const reach = find.sets.determiners.has(words) ? pack.negation.shortReach : pack.negation.reach;
  const own = find.verbs.at(tokens, start) > 0;
  // "Not fast, a long slow breath": set against what follows the pause.
  const contrasts =
    words === pack.negation.contrast &&
    !pack.question.auxiliaries.includes(tokens[start - 1]?.word ?? '') &&
    !/^\d/.test(tokens[end + 1]?.word ?? '') &&
    !Object.hasOwn(pack.numbers.units, tokens[end + 1]?.word ?? '');
  for (let steps = 0; k < tokens.length && steps < reach; k++) {
    const word = tokens[k]!.word;
    // "it doesn't stop I call", "if it doesn't stop call"
    // But "it is nothing you bother them about" is one thought.
    const predicate = find.sets.copulas.has(tokens[start - 1]?.word ?? '');
    if (k === end && find.sets.pronouns.has(word) && (own || find.sets.alone.has(words)) && !predicate) break;
    // "Nothing but ..."
    if (k === end && find.sets.exceptive.has(word)) break;
    if (k === end && own && find.sets.intransitive.has(tokens[start]!.stem) && find.sets.verbs.has(word))
      break;
    if (k > end) {
      if (contrasts && content && tokens[k]!.start - tokens[k - 1]!.end > 1) return k;
      // "none of that jelly ten feet ..": an amount is something new.
      if (reach < pack.negation.reach && (/^\d/.test(word) || Object.hasOwn(pack.numbers.units, word))) break;
      if (find.ends.at(tokens, k) > 0 && !find.waits.at(tokens, k - 1)) break;
      // "I can't talk call ..": a new verb after the negated words begins a new statement.
      if (
        content &&
        (!carried || k - end >= 3 || find.sets.urgent.has(word)) &&
        !subject &&
        find.sets.verbs.has(word) &&
        !find.sets.joins.has(tokens[k - 1]!.word)
      )
        break;
      if (find.sets.and.has(word) && find.sets.verbsAfterAnd.has(tokens[k + 1]?.word ?? '')) break;
      if (find.plain.at(tokens, k) > 0 && find.sets.answers.has(word)) break;
      if (find.sets.pronouns.has(word) && !find.sets.carries.has(tokens[k - 1]!.word)) break;
    }
    if (tokens[k]!.asks) return k + 1;
    if (find.sets.carries.has(word)) carried = true;
    else if (!find.sets.light.has(word)) content = true;
    // "It is not in service. Try again." But speech pauses after "not", and after "not to the", as well.
    if (content && tokens[k]!.ends) return k + 1;
    if (find.sets.objects.has(word) && k > end && !carried) {
      if (!find.sets.prepositions.has(tokens[k + 1]?.word ?? '')) return k + 1;
    }
    steps++;
  }
  return listEnd(tokens, end, k, pack, find);
}

/** "No fever, cough, chest pain or swelling": a list that ends in "or" is negated to its end. */
function listEnd(
  tokens: readonly Token[],
  from: number,
  to: number,
  pack: LanguagePack,
  find: Finders,
): number {
  const { subjects } = pack.question;
  const stops = (k: number): boolean =>
    find.ends.at(tokens, k) > 0 ||
    find.sets.pronouns.has(tokens[k]!.word) ||
    find.sets.verbs.has(tokens[k]!.word) ||
    find.plain.at(tokens, k) > 0;
  let end = to;
  for (
    let k = from;
    k < Math.min(tokens.length, end + listReach) && !tokens[k]!.asks && !tokens[k]!.ends;
    k++
  ) {
    if (
      stops(k) ||
      (find.sets.and.has(tokens[k]!.word) && find.sets.verbsAfterAnd.has(tokens[k + 1]?.word ?? ''))
    )
      break;
    const next = tokens[k + 1]?.word ?? '';
    if (!find.sets.or.has(tokens[k]!.word) || subjects.includes(next)) continue;
    // "a week or two" is no list of things.
    if (/^\d/.test(next) || Object.hasOwn(pack.numbers.units, next)) continue;
    let last = k + 1;
    while (last < Math.min(tokens.length, k + 1 + pack.negation.shortReach)) {
      if (stops(last) || find.sets.and.has(tokens[last]!.word)) break;
      last++;
    }
    end = Math.max(end, last);
  }
  return end;
}

/** Every negation of an answer. */
export function findNegations(tokens: readonly Token[], pack: LanguagePack): Negation[] {
  const find = findersOf(pack);
  const found: Negation[] = [];
  /** A negator of so many words denies what follows; its last word is the answer. */
  const forward = (kind: Negation['kind'], start: number, length: number): number => {
    const end = start + length;
    found.push({ start, end, kind, from: end, to: reachOf(tokens, start, end, pack, find) });
    return end - 1;
  };
  for (let i = 0; i < tokens.length; i++) {
    const harmless = find.never.at(tokens, i);
    if (harmless > 0) {
      i += harmless - 1;
      continue;
    }
    const backward = find.after.at(tokens, i);
    // "Not allowed to ..." denies what follows.
    if (backward > find.plain.at(tokens, i)) {
      let from = i;
      while (
        from > 0 &&
        i - from < 5 &&
        find.ends.at(tokens, from - 1) === 0 &&
        !find.sets.and.has(tokens[from - 1]!.word)
      )
        from--;
      // "If it is bent, that does not matter" waves the case off and denies nothing.
      const cased = pack.cases.includes(tokens[from - 1]?.word ?? '');
      // "You can skip it, it makes no difference": what is waved off is the doing.
      const again =
        find.dismissals.at(tokens, i) > 0 && found.some((one) => one.kind === 'verb' && one.end > from);
      if (!cased && !again) found.push({ start: i, end: i + backward, kind: 'plain', from, to: i });
      i += backward - 1;
      continue;
    }
    const plain = find.plain.at(tokens, i);
    if (plain > 0) {
      const word = tokens[i]!.word;
      const next = tokens[i + plain]?.word;
      // "No, I ..." answers; "no soap" negates.
      const answers =
        find.sets.answers.has(word) &&
        plain === 1 &&
        (next === undefined || find.sets.answerBefore.has(next));
      if (!answers) i = forward('plain', i, plain);
      continue;
    }
    const verb = find.verbs.at(tokens, i);
    if (verb > 0) i = forward('verb', i, verb);
  }
  return found;
}

/** Is the stretch negated? Negators inside it belong to it and do not count. */
export function negated(negations: readonly Negation[], start: number, end: number): boolean {
  let plain = false;
  let verbs = 0;
  for (const negation of negations) {
    if (negation.start >= start && negation.end <= end) continue;
    // The "matter" of "does not matter".
    const inside = start >= negation.start && end <= negation.end && negation.to === negation.start;
    if (!inside && (start < negation.from || start >= negation.to)) continue;
    if (negation.kind === 'verb') verbs++;
    else plain = true;
  }
  return (verbs + (plain ? 1 : 0)) % 2 === 1;
}
