import { expect, test } from 'vitest';
import { everydayFrench } from '../../../../src/hearing/embedded/sphinx/everyday.fr';
import { frenchTokens } from '../../../../src/hearing/embedded/sphinx/tokens.fr';
import { everydayVocabulary } from '../../../../src/hearing/embedded/sphinx/vocabulary.fr';

test('every everyday word is one word to the recogniser, with a frequency', () => {
  const words = everydayVocabulary();
  expect(words.length).toBeGreaterThan(2500);
  for (const [word, frequency] of words) {
    expect(frenchTokens(word)).toEqual([word]);
    expect(frequency).toBeGreaterThan(0);
  }
});

test('everyday sentences have all slots filled', () => {
  const sentences = everydayFrench();
  expect(sentences.length).toBeGreaterThan(1000);
  expect(sentences.filter((sentence) => /[{}]|undefined/.test(sentence))).toEqual([]);
});
