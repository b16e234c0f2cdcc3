/*
 * Is what staff entered of a learner's name (a name, or initials) the name of a patient? Only where that is plain:
 * a person is asked about everything else. Pure.
 */

/** http://hl7.org/fhir/R4/datatypes.html#HumanName, as far as it is read here. */
export interface HumanName {
  text?: string | undefined;
  family?: string | undefined;
  given?: string[] | undefined;
  suffix?: string[] | undefined;
}

/** A word of a name, in the spellings under which it is known: `müller` is `muller` and `mueller`. */
type Word = readonly string[];

/** A name as words. `last`: those of the family that tell it apart; particles such as `van` are in `all` only. */
interface Parts {
  first: Word[];
  last: Word[];
  all: Word[];
  generation: string | null;
}

const titles = new Set(['mr', 'mrs', 'ms', 'miss', 'mx', 'dr', 'prof', 'herr', 'frau', 'mme', 'sra', 'srta']);
/** Father and son share a name and a house: these tell them apart. */
const generations = new Map(
  Object.entries({ jr: 'jr', junior: 'jr', sr: 'sr', senior: 'sr', ii: 'ii', iii: 'iii', iv: 'iv' }),
);
const particles = new Set(
  'al ap bin bint da das de del della den der di do dos du el la las le los san st ten ter van von y zu'.split(
    ' ',
  ),
);
/** Letters that do not fall apart into a plain one and its mark (Unicode, UAX 15). */
const plainLetters: Record<string, string> = {
  ß: 'ss',
  æ: 'ae',
  œ: 'oe',
  ø: 'o',
  đ: 'd',
  ð: 'd',
  ł: 'l',
  þ: 'th',
  ı: 'i',
};
/** The same sounds written out, as passports and keyboards without them do. */
const writtenOut: Record<string, string> = { ä: 'ae', ö: 'oe', ü: 'ue', ø: 'oe', å: 'aa' };

/** Marks are dropped where they are accents; in other scripts they are vowels, which tell names apart. */
const withoutAccents = (text: string): string =>
  text
    .replace(/[ßæœøđðłþı]/g, (letter) => plainLetters[letter] ?? letter)
    .normalize('NFD')
    .replace(/([\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}])\p{M}+/gu, '$1')
    .normalize('NFC');

function wordOf(text: string): Word {
  const small = text.normalize('NFKC').toLowerCase().normalize('NFC');
  const spelt = [small, small.replace(/[äöüøå]/g, (letter) => writtenOut[letter] ?? letter)];
  return [...new Set(spelt.map(withoutAccents))];
}

/** Apostrophes join, everything else that is no letter parts. */
const cut = (text: string): string[] =>
  text
    .normalize('NFC')
    .replace(/['’‘ʼʻ`´]/g, '')
    .split(/[^\p{L}\p{M}\p{N}]+/u)
    .filter(Boolean);

const wordsOf = (text: string): Word[] => cut(text).map(wordOf);

const isTitle = (word: Word) => word.some((spelling) => titles.has(spelling));
const generationIn = (words: readonly Word[]): string | null =>
  generations.get(words.at(-1)?.[0] ?? '') ?? null;
const isParticle = ([spelling = '']: Word) => particles.has(spelling);

const same = (one: Word, other: Word) => one.some((spelling) => other.includes(spelling));
/** Only where letters are large and small there are initials: elsewhere one sign may be a whole name. */
const isInitial = ([spelling = '']: Word) => [...spelling].length === 1 && /\p{Ll}/u.test(spelling);
const begins = (initial: Word, word: Word) => isInitial(initial) && word.some((one) => one[0] === initial[0]);

/** A name in the record; one that is only written out may stand in either order. */
function readings({ text = '', family = '', given = [], suffix = [] }: HumanName): Parts[] {
  const parts = (first: Word[], family: Word[], generation: string | null): Parts[] => {
    const last = family.filter((word) => !isParticle(word));
    return first.length > 0 && last.length > 0
      ? [{ first, last, all: [...first, ...family], generation }]
      : [];
  };
  const generation = generationIn(wordsOf(suffix.join(' ')));
  if (family.trim() && given.some((each) => each.trim())) {
    return parts(given.flatMap(wordsOf), wordsOf(family), generation);
  }
  const [before = '', after] = text.split(',');
  if (after !== undefined) return parts(wordsOf(after), wordsOf(before), generation);
  const words = wordsOf(text).filter((word) => !isTitle(word));
  const ends = generation ?? generationIn(words);
  const plain = ends ? words.slice(0, -1) : words;
  return [
    ...parts(plain.slice(0, -1), plain.slice(-1), ends),
    ...parts(plain.slice(1), plain.slice(0, 1), ends),
  ];
}

/** `IM` for I. M., where nothing else stands there. */
function letters(words: Word[], entered: string): Word[] {
  const [only, ...more] = words;
  const alone = cut(entered)[0] ?? '';
  if (!only || more.length > 0 || !/^\p{Lu}{2,4}$/u.test(alone)) return words;
  return [...alone].map(wordOf);
}

/** Does each word entered find one of its own among those of the name? Whole words are given away first. */
function allFound(words: readonly Word[], name: readonly Word[]): boolean {
  const left = [...name];
  for (const fits of [same, begins]) {
    for (const word of words.filter((one) => isInitial(one) === (fits === begins))) {
      const at = left.findIndex((one) => fits(word, one));
      if (at < 0) return false;
      left.splice(at, 1);
    }
  }
  return true;
}

/**
 * Of given and family name at least one each has to be there: as a word, or as the initial of the first given name,
 * and of the first or last word of the family's. Nothing may be entered that is not in the name.
 */
function agree(words: readonly Word[], name: Parts): boolean {
  const from = (one: Word, whole: readonly Word[], initials: (Word | undefined)[]) =>
    whole.some((other) => same(one, other)) || initials.some((other) => other && begins(one, other));
  const pair = words.some((one, i) =>
    words.some(
      (other, k) =>
        i !== k &&
        from(one, name.first, [name.first[0]]) &&
        from(other, name.last, [name.last[0], name.last.at(-1)]),
    ),
  );
  return pair && allFound(words, name.all);
}

/** `Annemarie` for Anne Marie, and scripts that put no space between names. */
function agreeJoined(words: readonly Word[], { first, all }: Parts): boolean {
  const last = all.slice(first.length);
  const join = (some: readonly Word[], spelling: number) =>
    some.map((word) => word[spelling] ?? word[0]).join('');
  const entered = [0, 1].map((spelling) => join(words, spelling));
  const orders = [
    [...first, ...last],
    [...last, ...first],
    [...first.slice(0, 1), ...last],
    [...last, ...first.slice(0, 1)],
  ];
  return orders.some((order) => [0, 1].some((spelling) => entered.includes(join(order, spelling))));
}

/**
 * Is it the same person's name, beyond doubt? Initials, order, accents, case and hyphens make no difference; a nickname,
 * another spelling, one name alone, or another generation does.
 * @param entered by staff: a name or initials
 * @param names all that a record knows of a patient
 */
export function namesAgree(entered: string, names: readonly HumanName[]): boolean {
  let words = wordsOf(entered);
  while (words[0] && isTitle(words[0]) && words.length > 1) words = words.slice(1);
  const generation = words.length > 2 ? generationIn(words) : null;
  if (generation) words = words.slice(0, -1);
  words = letters(words, entered);
  if (words.length === 0) return false;
  return names
    .flatMap(readings)
    .some(
      (name) =>
        (generation === null || generation === name.generation) &&
        (agree(words, name) || agreeJoined(words, name)),
    );
}
