/*
 * French text as the recogniser hears it: small letters, numbers as words, and what is elided ("l'", "qu'") as a word
 * of its own, as the model's dictionary has it.
 */

const SMALL =
  'zéro un deux trois quatre cinq six sept huit neuf dix onze douze treize quatorze quinze seize dix-sept dix-huit dix-neuf'
    .split(' ')
    .map((word) => word.split('-'));
const TENS = '- - vingt trente quarante cinquante soixante soixante quatre-vingt quatre-vingt'
  .split(' ')
  .map((word) => word.split('-'));

/** French cardinal of a whole number below a million, hyphens apart; digit by digit above. */
export function frenchNumberWords(value: number): string[] {
  if (!Number.isInteger(value) || value < 0 || value >= 1_000_000)
    return [...String(value)].flatMap((digit) => SMALL[Number(digit)] ?? []);
  if (value < 20) return SMALL[value]!;
  if (value === 80) return ['quatre', 'vingts'];
  if (value < 100) {
    const tens = Math.floor(value / 10);
    // 70 to 79 and 90 to 99 go on counting from ten.
    const ones = (value % 10) + (tens === 7 || tens === 9 ? 10 : 0);
    const and = (ones === 1 || ones === 11) && tens < 8 ? ['et'] : [];
    return [...TENS[tens]!, ...and, ...(ones > 0 ? SMALL[ones]! : [])];
  }
  const [unit, word] = value < 1000 ? [100, 'cent'] : [1000, 'mille'];
  const many = Math.floor(value / unit);
  const rest = value % unit;
  return [
    ...(many > 1 ? frenchNumberWords(many) : []),
    many > 1 && unit === 100 && rest === 0 ? 'cents' : word,
    ...(rest > 0 ? frenchNumberWords(rest) : []),
  ];
}

const elided = /^(?:[cdjlmnst]|qu|jusqu|lorsqu|puisqu|quoiqu|presqu|quelqu)'/;

/** Words with a hyphen that the dictionary has as they are. Others ("est-ce", "prenez-le") are heard in pieces. */
const joined = new Set(
  (
    "peut-être c'est-à-dire après-midi rendez-vous week-end là-bas là-dessus là-dedans au-dessus au-dessous " +
    'par-dessus par-là celui-là celle-là ceux-là celles-là moi-même toi-même lui-même elle-même vous-même ' +
    'eux-mêmes elles-mêmes quelques-uns quelques-unes'
  ).split(' '),
);

/** The words of a phrase, in order. "J'attends 10 secondes !" gives j', attends, dix, secondes. */
export function frenchTokens(phrase: string): string[] {
  return (
    phrase
      .toLowerCase()
      .normalize('NFC')
      .replace(/[‘’ʼ`]/g, "'")
      .replace(/œ/g, 'oe')
      .replace(/æ/g, 'ae')
      .match(/\d+(?:[.,]\d+)?|[\p{L}\p{M}]+(?:['-][\p{L}\p{M}]+)*'?/gu) ?? []
  ).flatMap((token) => {
    if (!/^\d/.test(token)) return pieces(token);
    // The emergency number of French-speaking Canada is said digit by digit, those of Europe as numbers.
    if (token === '911') return ['neuf', 'un', 'un'];
    const [whole, decimals] = token.split(/[.,]/);
    const head = frenchNumberWords(Number(whole));
    return decimals ? [...head, 'virgule', ...[...decimals].flatMap((digit) => SMALL[Number(digit)]!)] : head;
  });
}

function pieces(word: string): string[] {
  if (joined.has(word)) return [word];
  const start = elided.exec(word)?.[0];
  if (start) return word === start ? [start] : [start, ...pieces(word.slice(start.length))];
  if (word.includes('-')) return word.split('-').flatMap(pieces);
  return [word.replace(/'$/, '')];
}

/** Is it elided, to be written together with the word that follows? */
export const isElided = (word: string): boolean => word.endsWith("'");
