/**
 * Which voice of espeak-ng speaks a language or a country's form of it, without the variant (`espeak-ng --voices`).
 * Its data is shipped for the languages named here.
 */
export const voices: Record<string, string> = {
  en: 'gmw/en-US',
  'en-GB': 'gmw/en',
  es: 'roa/es-419',
  'es-ES': 'roa/es',
  fr: 'roa/fr',
};
