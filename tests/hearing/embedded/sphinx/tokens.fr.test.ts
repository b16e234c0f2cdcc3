import { toCardinal } from 'n2words/fr-FR';
import { expect, test } from 'vitest';
import { frenchNumberWords, frenchTokens, isElided } from '../../../../src/hearing/embedded/sphinx/tokens.fr';

test('what is elided is a word of its own, as in the dictionary of the model', () => {
  expect(frenchTokens("J'attends qu’il l’ait jusqu'à aujourd'hui, c'est tout !")).toEqual(
    "j' attends qu' il l' ait jusqu' à aujourd'hui c' est tout".split(' '),
  );
  expect(isElided("qu'")).toBe(true);
  expect(isElided("aujourd'hui")).toBe(false);
});

test('words with a hyphen that are one word stay one, others are heard in pieces', () => {
  expect(frenchTokens('Celui-là, prenez-le peut-être, dit-il. Est-ce bien ?')).toEqual(
    'celui-là prenez le peut-être dit il est ce bien'.split(' '),
  );
});

test('accents are kept, ligatures are spelled as the dictionary spells them', () => {
  expect(frenchTokens('Le cœur, à côté de l’œil')).toEqual("le coeur à côté de l' oeil".split(' '));
});

test('numbers become words', () => {
  expect(frenchTokens('2,5 litres, 10 secondes, le 911')).toEqual(
    'deux virgule cinq litres dix secondes le neuf un un'.split(' '),
  );
  expect(frenchNumberWords(71)).toEqual(['soixante', 'et', 'onze']);
  expect(frenchNumberWords(81)).toEqual(['quatre', 'vingt', 'un']);
});

test('numbers agree with n2words, a library of numbers in words', () => {
  for (const value of [...Array(1001).keys(), 1971, 2000, 4280, 90_080, 999_999])
    expect(frenchNumberWords(value).join(' ')).toBe(toCardinal(value).replace(/-/g, ' '));
});
