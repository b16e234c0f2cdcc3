/**
 * Text for the eye whose words with a hyphen ("est-ce") and telephone numbers ("555-0142") stay on one line: a word
 * joiner (U+2060) follows the hyphen.
 */
export const unbroken = (text: string): string =>
  text.replace(/(?<=\p{L})-(?=\p{L})|(?<=\d{3})-(?=\d{3})/gu, '-\u2060');
