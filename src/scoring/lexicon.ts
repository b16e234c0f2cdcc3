import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { Memo } from './memo';
import { normalize, stemOf, type Token } from './normalize';
import { speller } from './similar';

/** Where an entry stands in an answer: token positions, end exclusive. */
export interface Place {
  start: number;
  end: number;
  /** Found by spelling or sound, not by form. */
  guessed: boolean;
}

/** All words that a phrasebank knows, ready to be found in an answer. */
export interface Lexicon {
  /** Atom ("@class" or "=phrase") -> places, in order. */
  find(tokens: readonly Token[]): Map<string, Place[]>;
}

interface Entry {
  stems: string[];
  atoms: string[];
}

/** What a recogniser makes of the last syllable of a long word. */
const tails = new Set([
  'or',
  'her',
  'er',
  'hair',
  'are',
  'all',
  'a',
  'in',
  'ing',
  'a',
  'eye',
  'ear',
  'air',
  'low',
  'lie',
  'lee',
  'piece',
  'peace',
  'up',
]);

/**
 * `classes`: words by class. `phrases`: single words and phrases that patterns name directly.
 * `heard`: other words that are right as they are and must not be taken for misspellings.
 */
export function makeLexicon(
  classes: Record<string, readonly string[]>,
  phrases: Iterable<string>,
  heard: Iterable<string>,
  pack: LanguagePack,
): Lexicon {
  const entries = new Map<string, Entry>();
  const words = new Set<string>();
  const add = (text: string, atom: string): void => {
    const tokens = normalize(text, pack);
    const stems = tokens.map((token) => token.stem);
    // An entry that loses words ("puff puff", a filler) would match too much.
    if (stems.length === 0 || stems.length < text.split(' ').length) return;
    for (const token of tokens) words.add(token.word);
    const key = stems.join(' ');
    const entry = entries.get(key) ?? { stems, atoms: [] };
    if (!entry.atoms.includes(atom)) entry.atoms.push(atom);
    entries.set(key, entry);
  };
  for (const [name, list] of Object.entries(classes)) for (const text of list) add(text, `@${name}`);
  for (const phrase of phrases) add(phrase, `=${phrase}`);

  const byFirst = new Map<string, Entry[]>();
  for (const entry of entries.values()) {
    const list = byFirst.get(entry.stems[0]!) ?? [];
    list.push(entry);
    byFirst.set(entry.stems[0]!, list);
  }
  const real = new Set<string>([...heard, ...words, ...pack.stopWords]);
  const spell = speller(words, real);
  const anything = speller(words, new Set());
  const joins = new Memo<string | null>(5_000);
  /** "space or", "compress her": a long word that was heard as two. */
  const joined = (a: Token, b: Token): string | null => {
    if (a.word.length < 3 || a.start === b.start || !tails.has(b.word)) return null;
    return joins.of(`${a.word} ${b.word}`, () => {
      const glued = a.word + b.word;
      const near = words.has(glued) ? glued : anything.find(glued);
      return near !== null && near.length >= 6 && near.length >= a.word.length ? near : null;
    });
  };

  return {
    find(tokens) {
      const found = new Map<string, Place[]>();
      const put = (atom: string, place: Place): void => {
        const list = found.get(atom);
        if (list) list.push(place);
        else found.set(atom, [place]);
      };
      // Every token as the word it most likely is.
      const stems: string[] = [];
      const guessed: boolean[] = [];
      for (const token of tokens) {
        const first = byFirst.has(token.stem);
        const other = first ? null : spell.find(token.word);
        stems.push(other === null ? token.stem : stemOf(other, pack));
        guessed.push(other !== null);
      }
      for (let i = 0; i < tokens.length; i++) {
        const list = byFirst.get(stems[i]!);
        for (const entry of list ?? []) {
          const { stems: want, atoms } = entry;
          let k = 1;
          while (k < want.length && stems[i + k] === want[k]) k++;
          if (k < want.length) continue;
          let guess = false;
          for (let n = 0; n < k; n++) guess ||= guessed[i + n]!;
          for (const atom of atoms) put(atom, { start: i, end: i + k, guessed: guess });
        }
        const next = tokens[i + 1];
        const whole = next ? joined(tokens[i]!, next) : null;
        if (whole !== null) {
          for (const entry of byFirst.get(stemOf(whole, pack)) ?? []) {
            if (entry.stems.length > 1) continue;
            for (const atom of entry.atoms) put(atom, { start: i, end: i + 2, guessed: true });
          }
        }
      }
      return found;
    },
  };
}
