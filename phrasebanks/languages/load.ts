import type { LanguagePack } from './pack';

/* For the browser: each pack is fetched when its language is first needed. */

const packs: Record<string, () => Promise<LanguagePack>> = {
  en: async () => (await import('./en')).en,
  es: async () => (await import('./es')).es,
  fr: async () => (await import('./fr')).fr,
};

/** The pack of a language tag ("en", "en-US"). Rejects where there is none. */
export async function loadPack(language: string): Promise<LanguagePack> {
  const name = language.toLowerCase().split('-')[0] ?? '';
  const load = Object.hasOwn(packs, name) ? packs[name] : undefined;
  if (!load) throw new Error(`There is no language pack for "${language}" in phrasebanks/languages`);
  return load();
}
