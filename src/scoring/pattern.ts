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

type Polarity = 'said' | 'negated' | 'either';

interface Term {
  atoms: { name: string; polarity: Polarity }[];
  quantity: { index: number; inside: boolean; bare: boolean; polarity: Polarity } | null;
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
    const absent = sign.startsWith('!');
    const term: Term = { atoms: [], quantity: null, absent, after };
    after = false;
    // A sign before the first alternative holds for all that have none of their own.
    const usual: Polarity = sign.endsWith('-') ? 'negated' : sign ? 'either' : 'said';
    for (const signed of body.split('/')) {
      const own = /^[-?]/.exec(signed)?.[0];
      const polarity: Polarity = own === '-' ? 'negated' : own ? 'either' : usual;
      const alternative = own ? signed.slice(1) : signed;
      const amount = /^#(\d+)(!?)(\*?)$/.exec(alternative);
      if (amount)
        term.quantity = { index: Number(amount[1]), inside: !amount[2], bare: Boolean(amount[3]), polarity };
      else if (alternative.startsWith('@')) term.atoms.push({ name: alternative, polarity });
      else if (alternative && !/[!@#?]/.test(alternative)) {
        const text = alternative.replaceAll('_', ' ');
        phrase(text);
        term.atoms.push({ name: `=${text}`, polarity });
      } else throw new Error(`"${source}": "${signed}" in "${raw}" names no word, class or amount`);
    }
    terms.push(term);
  }
  // "-wash hands": what is negated takes its object along, negated or not.
  const denied = (term: Term): boolean =>
    !term.absent && term.atoms.some((atom) => atom.polarity === 'negated');
  if (terms.some(denied))
    for (const term of terms.filter((one) => !denied(one)))
      for (const one of [...term.atoms, ...(term.quantity ? [term.quantity] : [])])
        if (one.polarity === 'said') one.polarity = 'either';
  if (!terms.some((term) => !term.absent)) throw new Error(`"${source}" asks for nothing`);
  return { source, terms, window };
}

/** Names of the classes a pattern uses. */
export const classesOf = (pattern: Pattern): string[] =>
  pattern.terms.flatMap((term) =>
    term.atoms.filter(({ name }) => name.startsWith('@')).map(({ name }) => name.slice(1)),
  );

const manyPlaces = 200;
/** What must be absent must be absent this many words around a match as well. */
const margin = 1;
/** One word alone has little else to go by. */
const lonelyMargin = 3;

/** The "wait" of "no wait" is no waiting. */
const repaired = (place: Place, { standing }: Facts): boolean =>
  standing.repairs.some((repair) => place.start >= repair.start && place.end <= repair.end);

function stands(place: Place, polarity: Polarity, { absent }: Term, facts: Facts): boolean {
  if (absent)
    return (
      !repaired(place, facts) && (polarity !== 'negated' || negated(facts.negations, place.start, place.end))
    );
  const { question, past } = facts.standing;
  if (question[place.start] || past[place.start]) return false;
  return (
    polarity === 'either' || negated(facts.negations, place.start, place.end) === (polarity === 'negated')
  );
}

function placesOf(term: Term, facts: Facts, quantities: readonly Quantity[]): Place[] {
  const all: Place[] = [];
  for (const { name, polarity } of term.atoms) {
    const list = facts.places.get(name);
    if (!list) continue;
    for (const place of list.length > manyPlaces ? list.slice(0, manyPlaces) : list)
      if (stands(place, polarity, term, facts)) all.push(place);
  }
  if (term.quantity) {
    const { index, inside, bare, polarity } = term.quantity;
    const asked = quantities[index];
    for (const said of facts.quantities.slice(0, manyPlaces)) {
      if (!asked || fits(said, asked, bare) !== inside) continue;
      const place = { start: said.start, end: said.end, guessed: false };
      if (stands(place, polarity, term, facts)) all.push(place);
    }
  }
  return term.absent ? all : all.sort((a, b) => a.start - b.start);
}

const overlaps = (a: Place, b: Place): boolean => a.start < b.end && b.start < a.end;

/** Every place where the pattern holds, one for each place of its first term. */
export function findPattern(pattern: Pattern, facts: Facts, quantities: readonly Quantity[]): Match[] {
  const wanted = pattern.terms.filter((term) => !term.absent);
  for (const term of wanted) {
    if (!term.quantity && !term.atoms.some(({ name }) => facts.places.has(name))) return [];
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
