import { syllable } from 'syllable';

/*
 * Syllables of a written word. English: the package `syllable`. Spanish and French: by their spelling, which
 * says it nearly always; where it does not ("moment", "ils parlent"), the higher count, which is the strict side.
 */

function spanish(word: string): number {
  const letters = word.replace(/qu|gu(?=[eiéí])/g, (pair) => pair[0]!).replace(/y$/, 'i');
  let nuclei = 0;
  let before = '';
  for (const letter of letters) {
    const vowel = /[aeiouáéíóúü]/.test(letter);
    const glides = /[iuü]/.test(letter) || /[iuü]/.test(before);
    if (vowel && !(before && glides)) nuclei++;
    before = vowel ? letter : '';
  }
  return nuclei;
}

function french(word: string): number {
  const plain = word.replace(/qu|gu(?=[eiéèêy])/g, (pair) => pair[0]!);
  const groups = plain.match(/é|[aeiouyàâäèêëîïôöùûüœæ]+/g) ?? [];
  const hiatus = plain.match(/[aeou][ïë]/g)?.length ?? 0;
  const mute = groups.length > 1 && /[^aeiouyàâäéèêëîïôöùûüœæ]es?$|[éiu]es?$/.test(plain) ? 1 : 0;
  // "-ée", "-ies": the vowel before the mute e is in its group already, save after é.
  const joined = mute && /[iu]es?$/.test(plain) ? 0 : mute;
  return groups.length + hiatus - joined;
}

const counters: Record<string, (word: string) => number> = { en: syllable, es: spanish, fr: french };

/** Can syllables of this language be counted? */
export const counts = (language: string): boolean => Object.hasOwn(counters, language);

/** Word -> syllables, at least 1. Figures and words of other languages count as they are spelt. */
export const syllables = (word: string, language: string): number =>
  Math.max(1, (counters[language] ?? spanish)(word.toLowerCase()));
