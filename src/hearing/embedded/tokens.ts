/*
 * Text as a recogniser hears it: small letters, numbers as words, no punctuation but the apostrophe.
 */

const SMALL =
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const TENS = '- - twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');

/** English cardinal of a whole number below a million; digit by digit above. */
export function numberWords(value: number): string[] {
  if (!Number.isInteger(value) || value < 0 || value >= 1_000_000)
    return [...String(value)].flatMap((digit) => SMALL[Number(digit)] ?? []);
  if (value < 20) return [SMALL[value]!];
  if (value < 100) return [TENS[Math.floor(value / 10)]!, ...(value % 10 ? [SMALL[value % 10]!] : [])];
  if (value < 1000)
    return [SMALL[Math.floor(value / 100)]!, 'hundred', ...(value % 100 ? numberWords(value % 100) : [])];
  return [
    ...numberWords(Math.floor(value / 1000)),
    'thousand',
    ...(value % 1000 ? numberWords(value % 1000) : []),
  ];
}

/** The words of a phrase, in order. "Wait 10 seconds!" gives wait, ten, seconds. */
export function tokens(phrase: string): string[] {
  return (
    phrase
      .toLowerCase()
      .replace(/[‘’ʼ`]/g, "'")
      .match(/\d+(?:\.\d+)?|[\p{L}\p{M}]+(?:'[\p{L}]+)*'?|'[\p{L}]+/gu) ?? []
  ).flatMap((token) => {
    if (!/^\d/.test(token)) return [token.endsWith("'") ? token.slice(0, -1) : token];
    if (token === '911') return ['nine', 'one', 'one'];
    const [whole, decimals] = token.split('.');
    const head = numberWords(Number(whole));
    return decimals ? [...head, 'point', ...[...decimals].map((digit) => SMALL[Number(digit)]!)] : head;
  });
}
