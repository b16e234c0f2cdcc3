import { en } from './en';
import { es } from './es';
import { fr } from './fr';
import type { LanguagePack } from './pack';

/** The languages that can be judged. */
export const languagePacks: Record<string, LanguagePack> = { en, es, fr };

/** The pack of a language tag ("en", "en-US"), or null. */
export function languagePack(language: string): LanguagePack | null {
  const name = language.toLowerCase().split('-')[0] ?? '';
  return Object.hasOwn(languagePacks, name) ? (languagePacks[name] ?? null) : null;
}
