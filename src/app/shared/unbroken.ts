/** Text for the eye whose words with a hyphen ("est-ce") stay on one line: a word joiner (U+2060) follows the hyphen. */
export const unbroken = (text: string): string => text.replace(/(?<=\p{L})-(?=\p{L})/gu, '-\u2060');
