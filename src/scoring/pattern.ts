import type { Quantity } from '../../phrasebanks/schema';
import type { Standing } from './clauses';
import type { Place } from './lexicon';
import type { Token } from './normalize';
import { type Negation, negated } from './polarity';
import { fits, type QuantitySaid } from './quantity';

/** All that was found in one answer. */
export interface Facts {
  tokens: readonly Token[];
  places: ReadonlyMap<string, readonly Place[]>;
  negations: readonly Negation[];
  quantities: readonly QuantitySaid[];
  standing: Standing;
}

interface Term {
  atoms: string[];
  quantity: { index: number; inside: boolean; bare: boolean } | null;
  polarity: 'said' | 'negated' | 'either';
  absent: boolean;
  /** Must stand after the term before it. */
  after: boolean;
}

/** A pattern of judging.json, ready to be looked for. Syntax: phrasebanks/judging.ts. */
export interface Pattern {
  source: string;
  terms: Term[];
  window: number;
}

/** Where a pattern was found: token positions, end exclusive. */
export interface Match {
  start: number;
  end: number;
  places: Place[];
}

const usualWindow = 10;

/** Compiles a pattern; `phrase` is told of every word or phrase that it names. Throws on a mistake in it. */
export function compilePattern(source: string, phrase: (text: string) => void): Pattern {
  const terms: Term[] = [];
  let window = usualWindow;
  let after = false;
  for (const raw of source.trim().split(/\s+/)) {
    if (raw === '<') {
      if (terms.length === 0) throw new Error(`"${source}": "<" needs a term before it`);
      after = true;
      continue;
    }
    const size = /^\{(\d+)\}$/.exec(raw);
    if (size) {
      window = Number(size[1]);
      continue;
    }
    const sign = /^!?[-?]?/.exec(raw)?.[0] ?? '';
    const body = raw.slice(sign.length);
    if (!body) throw new Error(`"${source}": "${raw}" names nothing`);
    const term: Term = {
      atoms: [],
      quantity: null,
      polarity: sign.endsWith('-') ? 'negated' : sign ? 'either' : 'said',
      absent: sign.startsWith('!'),
      after,
    };
    after = false;
    for (const alternative of body.split('/')) {
      const amount = /^#(\d+)(!?)(\*?)$/.exec(alternative);
      if (amount) term.quantity = { index: Number(amount[1]), inside: !amount[2], bare: Boolean(amount[3]) };
      else if (alternative.startsWith('@')) term.atoms.push(alternative);
      else if (alternative) {
        const text = alternative.replaceAll('_', ' ');
        phrase(text);
        term.atoms.push(`=${text}`);
      } else throw new Error(`"${source}": an empty alternative in "${raw}"`);
    }
    terms.push(term);
  }
  // "-wash hands": what is negated takes its object along, negated or not.
  if (terms.some((term) => !term.absent && term.polarity === 'negated'))
    for (const term of terms) if (term.polarity === 'said') term.polarity = 'either';
  if (!terms.some((term) => !term.absent)) throw new Error(`"${source}" asks for nothing`);
  return { source, terms, window };
}

/** Names of the classes a pattern uses. */
export const classesOf = (pattern: Pattern): string[] =>
  pattern.terms.flatMap((term) =>
    term.atoms.filter((atom) => atom.startsWith('@')).map((atom) => atom.slice(1)),
  );

const manyPlaces = 200;
/** What must be absent must be absent this many words around a match as well. */
const margin = 1;
/** One word alone has little else to go by. */
const lonelyMargin = 3;

function placesOf(term: Term, facts: Facts, quantities: readonly Quantity[]): Place[] {
  const all: Place[] = [];
  for (const atom of term.atoms) {
    const list = facts.places.get(atom);
    if (list) all.push(...(list.length > manyPlaces ? list.slice(0, manyPlaces) : list));
  }
  if (term.quantity) {
    const asked = quantities[term.quantity.index];
    for (const said of facts.quantities.slice(0, manyPlaces)) {
      if (asked && fits(said, asked, term.quantity.bare) === term.quantity.inside)
        all.push({ start: said.start, end: said.end, guessed: false });
    }
  }
  if (term.absent) {
    // The "wait" of "no wait" is no waiting.
    const repaired = (place: Place): boolean =>
      facts.standing.repairs.some((repair) => place.start >= repair.start && place.end <= repair.end);
    return all.filter(
      (place) =>
        !repaired(place) && (term.polarity !== 'negated' || negated(facts.negations, place.start, place.end)),
    );
  }
  const { question, past } = facts.standing;
  return all
    .filter((place) => {
      if (question[place.start] || past[place.start]) return false;
      if (term.polarity === 'either') return true;
      return negated(facts.negations, place.start, place.end) === (term.polarity === 'negated');
    })
    .sort((a, b) => a.start - b.start);
}

const overlaps = (a: Place, b: Place): boolean => a.start < b.end && b.start < a.end;

/** Every place where the pattern holds, one for each place of its first term. */
export function findPattern(pattern: Pattern, facts: Facts, quantities: readonly Quantity[]): Match[] {
  const wanted = pattern.terms.filter((term) => !term.absent);
  for (const term of wanted) {
    if (!term.quantity && !term.atoms.some((atom) => facts.places.has(atom))) return [];
  }
  const lists: Place[][] = [];
  for (const term of wanted) {
    const list = placesOf(term, facts, quantities);
    if (list.length === 0) return [];
    lists.push(list);
  }
  const barred = pattern.terms
    .filter((term) => term.absent)
    .flatMap((term) => placesOf(term, facts, quantities));
  const around = lists.length > 1 ? margin : lonelyMargin;
  const found: Match[] = [];
  const chosen: Place[] = [];
  let best: Place[] | null = null;
  let bestSpan = Number.POSITIVE_INFINITY;
  let budget = 0;
  const extend = (index: number, start: number, end: number): void => {
    if (budget-- <= 0) return;
    const span = end - start;
    if ((span > pattern.window && lists.length > 1) || span >= bestSpan) return;
    if (index === lists.length) {
      best = [...chosen];
      bestSpan = span;
      return;
    }
    const after = wanted[index]!.after ? chosen[index - 1]! : null;
    for (const place of lists[index]!) {
      if (place.start > start + pattern.window) break;
      if (place.end < end - pattern.window) continue;
      if (after && place.start < after.end) continue;
      if (chosen.some((other) => overlaps(other, place))) continue;
      chosen.push(place);
      extend(index + 1, Math.min(start, place.start), Math.max(end, place.end));
      chosen.pop();
    }
  };
  for (const first of lists[0]!) {
    best = null;
    bestSpan = Number.POSITIVE_INFINITY;
    budget = 400;
    chosen.length = 0;
    chosen.push(first);
    extend(1, first.start, first.end);
    const got = best as Place[] | null;
    if (!got) continue;
    const start = Math.min(...got.map((place) => place.start));
    const end = Math.max(...got.map((place) => place.end));
    // What stands inside a found phrase ("can not breathe") belongs to it.
    const within = (place: Place): boolean =>
      got.some((part) => place.start >= part.start && place.end <= part.end);
    if (barred.some((place) => place.start < end + around && place.end > start - around && !within(place)))
      continue;
    found.push({ start, end, places: got });
  }
  return found;
}
