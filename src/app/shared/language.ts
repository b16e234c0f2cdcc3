import { useLayoutEffect } from 'react';

/** A language in its own words and script, with the capital of a label where its script has one: "Español". */
export const nameOf = (language: string): string =>
  (new Intl.DisplayNames([language], { type: 'language' }).of(language) ?? language).replace(
    /^[\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}]/u,
    (letter) => letter.toLocaleUpperCase(language),
  );

// Scripts in use that run from right to left (Unicode, "Scripts and their direction", common practice).
const rightToLeft = new Set(['Adlm', 'Arab', 'Hebr', 'Nkoo', 'Rohg', 'Syrc', 'Thaa']);

/** 'rtl' for a language that is written from right to left, such as "ar". */
export const directionOf = (language: string): 'ltr' | 'rtl' =>
  rightToLeft.has(new Intl.Locale(language).maximize().script ?? '') ? 'rtl' : 'ltr';

/** Tells the browser, and whoever has the page read aloud, in which language it stands. English for staff. */
export function usePageLanguage(language: string): void {
  useLayoutEffect(() => {
    const set = (tag: string) => {
      document.documentElement.lang = tag;
      document.documentElement.dir = directionOf(tag);
    };
    set(language);
    return () => set('en');
  }, [language]);
}
