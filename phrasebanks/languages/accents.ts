/** A lower-case word without its accents ("veintidós", "cœur"), unless it is one of `keep`. */
export function dropAccents(word: string, keep: readonly string[]): string {
  if (/^[a-z]*$/.test(word) || keep.includes(word)) return word;
  return word
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .replaceAll('\u0153', 'oe')
    .replaceAll('\u00e6', 'ae')
    .normalize('NFC');
}
