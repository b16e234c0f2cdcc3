import { dropAccents } from '../../phrasebanks/languages/accents';
import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { Memo } from './memo';

/** One word of the answer, ready to be matched. */
export interface Token {
  /** As compared: lower case, contractions taken apart. */
  word: string;
  stem: string;
  /** UTF-16 offsets into the original text. */
  start: number;
  end: number;
  /** A question mark closes the sentence after this word. */
  asks: boolean;
  /** A full stop or an exclamation mark does. */
  ends: boolean;
}

/** Longest text that is judged; the rest is not looked at. Nobody speaks that long in a turn. */
export const longestText = 20_000;
const longestWord = 40;

const wordPattern =
  /(?<![\p{L}\p{N}.,])[.,]\d+|(?<![\d/])[1-3][/\u2044][24](?![\d/])|[\u00BC-\u00BE]|\d+(?:[.,:]\d+)+|\d+|[\p{L}\p{M}]+(?:['\u2019\u02BC][\p{L}\p{M}]+)*|[?\u00BF\uFF1F]|&/gu;

/** What stands between two words of different sentences. */
const sentenceEnd = /[.!\uFF0E\uFF01]\s/u;

interface Ready {
  fillers: Map<string, string[][]>;
  stems: Memo<string>;
}
const ready = new WeakMap<LanguagePack, Ready>();

function prepare(pack: LanguagePack): Ready {
  const known = ready.get(pack);
  if (known) return known;
  const fillers = new Map<string, string[][]>();
  for (const filler of pack.fillers) {
    const words = filler.split(' ');
    const first = words[0] ?? '';
    const list = fillers.get(first) ?? [];
    list.push(words);
    list.sort((a, b) => b.length - a.length);
    fillers.set(first, list);
  }
  const made = { fillers, stems: new Memo<string>(20_000) };
  ready.set(pack, made);
  return made;
}

/** Stem of a lower-case word, irregular forms included. */
export function stemOf(word: string, pack: LanguagePack): string {
  return prepare(pack).stems.of(word, () => {
    const regular = Object.hasOwn(pack.irregular, word) ? (pack.irregular[word] ?? word) : word;
    return /^\d/.test(regular) ? regular : pack.stem(regular);
  });
}

function simplify(raw: string): string {
  return raw
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\u2019\u02BC]/g, "'")
    .slice(0, longestWord);
}

/** A word as it stands -> the words it means. */
function split(raw: string, pack: LanguagePack): string[] {
  const simple = simplify(raw);
  const word = pack.keepAccents ? dropAccents(simple, pack.keepAccents) : simple;
  const plain = word.replaceAll("'", '');
  if (word.includes("'")) {
    if (word === "o'clock") return ['oclock'];
    if (word.endsWith("n't")) {
      const joined = Object.hasOwn(pack.expand, plain) ? pack.expand[plain] : undefined;
      return joined ? joined.split(' ') : [word.slice(0, -3), 'not'];
    }
    if (Object.hasOwn(pack.expand, plain)) return (pack.expand[plain] ?? plain).split(' ');
    const [head = '', tail = ''] = word.split("'");
    const tails: Record<string, string> = { ll: 'will', ve: 'have', re: 'are', d: 'would', m: 'am', s: 'is' };
    if (pack.language.startsWith('en') && tails[tail])
      return tail === 's' ? [head, 'is'] : [head, tails[tail]];
    return word
      .split("'")
      .filter((piece) => piece.length > 0)
      .flatMap((piece) =>
        Object.hasOwn(pack.expand, piece) ? (pack.expand[piece] ?? piece).split(' ') : piece,
      );
  }
  if (Object.hasOwn(pack.expand, word)) return (pack.expand[word] ?? word).split(' ');
  return [word];
}

/** Words that mean something else when said twice: numbers, and "no no". */
const counts = (word: string, pack: LanguagePack): boolean =>
  /^\d/.test(word) ||
  pack.refusals.includes(word) ||
  pack.pausedRefusals.includes(word) ||
  Object.hasOwn(pack.numbers.units, word);

/** Text -> words without fillers. Punctuation says nothing, save the ends of sentences. Never throws. */
export function normalize(text: string, pack: LanguagePack): Token[] {
  const { fillers } = prepare(pack);
  const all: Token[] = [];
  for (const match of text.slice(0, longestText).matchAll(wordPattern)) {
    const raw = match[0];
    const last = all.at(-1);
    if (raw === '?' || raw === '\uFF1F') {
      if (last) last.asks = true;
      continue;
    }
    if (last && sentenceEnd.test(text.slice(last.end, match.index))) last.ends = true;
    if (raw === '\u00BF') continue;
    const start = match.index;
    const end = start + raw.length;
    for (const word of split(raw, pack)) {
      if (word) all.push({ word, stem: stemOf(word, pack), start, end, asks: false, ends: false });
    }
  }
  const fillerAt = (i: number): string[] | undefined =>
    fillers.get(all[i]?.word ?? '')?.find((words) => words.every((word, k) => all[i + k]?.word === word));
  const kept: Token[] = [];
  for (let i = 0; i < all.length; ) {
    const token = all[i]!;
    let filler = fillerAt(i);
    // "Mind, you know, the tube" holds "you know", not "mind you".
    for (let k = 1; filler && k < filler.length; k++)
      if (k + (fillerAt(i + k)?.length ?? 0) > filler.length) filler = undefined;
    if (!filler) {
      // A word said twice in a row is a stumble.
      const before = kept.at(-1);
      if (before?.word === token.word && !counts(token.word, pack)) {
        before.asks ||= token.asks;
        before.ends ||= token.ends;
      } else kept.push(token);
      i++;
      continue;
    }
    const words = all.slice(i, i + filler.length);
    const before = kept.at(-1);
    if (before) {
      before.asks ||= words.some((word) => word.asks);
      before.ends ||= words.some((word) => word.ends);
    }
    i += filler.length;
  }
  return kept;
}

/** Where the words of `phrase` stand in a row, by stem, from `from` on, or -1. */
export function position(tokens: readonly Token[], phrase: readonly Token[], from = 0): number {
  if (phrase.length === 0) return -1;
  outer: for (let i = from; i + phrase.length <= tokens.length; i++) {
    for (let k = 0; k < phrase.length; k++) if (tokens[i + k]!.stem !== phrase[k]!.stem) continue outer;
    return i;
  }
  return -1;
}
