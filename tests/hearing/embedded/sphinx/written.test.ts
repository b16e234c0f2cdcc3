import { expect, test } from 'vitest';
import { writtenText, writtenWords } from '../../../../src/hearing/embedded/sphinx/written';

const joins = (word: string) => word.endsWith("'");

test('what is elided is written with the next word and has the time and score of both', () => {
  const words = [
    { word: 'dans', start: 0, seconds: 0.2, score: 0.9 },
    { word: "l'", start: 0.2, seconds: 0.1, score: 0.8 },
    { word: 'eau', start: 0.3, seconds: 0.2, score: 0.5 },
  ];
  const [first, second, ...more] = writtenWords(words, joins);
  expect(first).toEqual(words[0]);
  expect(second).toMatchObject({ word: "l'eau", start: 0.2 });
  expect(second!.seconds).toBeCloseTo(0.3);
  expect(second!.score).toBeCloseTo(0.4);
  expect(more).toEqual([]);
  expect(words[1]!.word).toBe("l'");
});

test('one that was heard last stands alone', () => {
  expect(writtenText(['je', "l'", 'ai', "qu'"], joins)).toBe("je l'ai qu'");
  expect(writtenText([], joins)).toBe('');
});
