/** What the ear has to know of a language besides its acoustic model. */
export interface EarLanguage {
  /** Phones of the acoustic model (its phoneset.json), less silence and noises. */
  phones: readonly string[];
  /** The words of a text as the model's dictionary spells them. */
  tokens: (phrase: string) => string[];
  /** What is said at home about anything, for the small words and fillers. */
  everyday: () => string[];
  /** Everyday words with how often they are said, on any one scale. */
  vocabulary: () => [word: string, frequency: number][];
  /** Pronunciations of a word that the dictionary lacks, likeliest first; `lookup` gives those of other words. */
  pronounce: (word: string, lookup: (word: string) => string | undefined) => string[];
  /** Is the word written together with the next, as "l'" is? */
  joins: (word: string) => boolean;
}

/** Loads what belongs to a language, and nothing of the others. */
export async function earLanguage(language: string): Promise<EarLanguage> {
  switch (language.toLowerCase().split('-')[0]) {
    case 'fr':
      return (await import('./french')).french;
    default:
      throw new Error(`the recogniser does not know the language "${language}"`);
  }
}
