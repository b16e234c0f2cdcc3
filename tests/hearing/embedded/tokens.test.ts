import { expect, test } from 'vitest';
import { numberWords, tokens } from '../../../src/hearing/embedded/tokens';

test('words are small letters without punctuation, with their apostrophes', () => {
  expect(tokens("Don’t rub it -- I'd say; 'cause that's it!")).toEqual(
    "don't rub it i'd say 'cause that's it".split(' '),
  );
  expect(tokens('')).toEqual([]);
});

test('numbers become words', () => {
  expect(tokens('Wait 30 to 60 seconds')).toEqual('wait thirty to sixty seconds'.split(' '));
  expect(tokens('2.5 liters')).toEqual('two point five liters'.split(' '));
  expect(numberWords(215)).toEqual(['two', 'hundred', 'fifteen']);
  expect(numberWords(1040)).toEqual(['one', 'thousand', 'forty']);
});

test('the emergency number is said digit by digit', () => {
  expect(tokens('Call 911.')).toEqual('call nine one one'.split(' '));
});
