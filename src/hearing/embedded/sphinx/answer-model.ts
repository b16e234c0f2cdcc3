import { type AnswerPhrases, phraseSources } from '../phrases';
import type { Decoder } from './decoder';
import type { EarLanguage } from './language';
import { compileLanguageModel, type LanguageModel } from './language-model';

/** Probability that a word that follows from no phrase is any everyday word. */
const VOCABULARY_SHARE = 0.1;

/**
 * The language model of one answer. Words that the decoder's dictionary lacks are taught to it first, by their
 * spelling; `unknown` of the result lists those that cannot be spelled either.
 */
export function answerModel(
  phrases: AnswerPhrases,
  decoder: Pick<Decoder, 'phones' | 'addWords'>,
  { tokens, everyday, vocabulary, pronounce }: EarLanguage,
): LanguageModel {
  const taught = new Map<string, string[]>();
  // Phrases may hold misspellings that some recogniser makes ("rince"). Taught here they would only take the
  // place of the right word, which sounds the same.
  const sounds = new Set(
    [...(phrases.likely ?? []), ...phrases.step, ...phrases.module]
      .flatMap(tokens)
      .map((word) => decoder.phones(word) ?? ''),
  );
  const lookup = (word: string) => decoder.phones(word) ?? taught.get(word)?.[0];
  const model = compileLanguageModel(phraseSources(phrases, everyday()), {
    tokens,
    vocabulary: vocabulary(),
    vocabularyShare: VOCABULARY_SHARE,
    knows(word) {
      if (lookup(word) !== undefined) return true;
      const phones = pronounce(word, lookup);
      if (phones[0] === undefined || sounds.has(phones[0])) return false;
      taught.set(word, phones);
      return true;
    },
  });
  decoder.addWords(
    [...taught].flatMap(([word, all]) =>
      // Further pronunciations are marked as the dictionary marks them.
      all.map((phones, i): [string, string] => [i === 0 ? word : `${word}(${i + 1})`, phones]),
    ),
  );
  return model;
}
