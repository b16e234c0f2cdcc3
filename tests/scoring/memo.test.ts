import { expect, test } from 'vitest';
import { forgetWords, Memo } from '../../src/scoring/memo';

test('what was found is not looked for again, until words are forgotten', () => {
  const memo = new Memo<string | null>(2);
  let looked = 0;
  const find = (words: string) =>
    memo.of(words, () => {
      looked += 1;
      return words === 'none' ? null : `${words}!`;
    });
  expect([find('a'), find('none'), find('a'), find('none'), looked]).toEqual(['a!', null, 'a!', null, 2]);
  forgetWords();
  expect([find('a'), looked]).toEqual(['a!', 3]);
  for (const words of ['b', 'c', 'd']) find(words);
  expect([find('d'), looked]).toEqual(['d!', 6]);
});
