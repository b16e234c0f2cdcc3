import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { pronounce } from '../../../src/hearing/embedded/letters.en';

const folder = dirname(createRequire(import.meta.url).resolve('soundswallower'));
const lines = readFileSync(join(folder, 'model/en-us/dict.txt'), 'utf8').split('\n');
const dictionary = new Map(
  lines
    .filter((line) => line !== '' && !line.startsWith(';;'))
    .map((line): [string, string] => [
      line.slice(0, line.indexOf(' ')),
      line.slice(line.indexOf(' ') + 1).trim(),
    ]),
);
const without = (word: string) => (other: string) => (other === word ? undefined : dictionary.get(other));

test('endings and compounds follow the words they are made of', () => {
  // The CMU Pronouncing Dictionary, which ships with the model, has these; here they have to be found again.
  for (const word of ['breathed', 'breathing', 'breaths', 'tapped', 'bathroom', 'countertop', 'sticky'])
    expect([word, pronounce(word, without(word))]).toEqual([word, dictionary.get(word)]);
});

test('regular endings mostly agree with the dictionary', () => {
  const words = [...dictionary.keys()].filter(
    (word, i) => i % 40 === 0 && /^[a-z]{5,}(ed|ing|s)$/.test(word) && !/(ss|us|is)$/.test(word),
  );
  const right = words.filter((word) => {
    const found = pronounce(word, without(word));
    const all = [dictionary.get(word), dictionary.get(`${word}(2)`), dictionary.get(`${word}(3)`)];
    return all.some((phones) => phones === found);
  });
  expect(words.length).toBeGreaterThan(300);
  expect(right.length / words.length).toBeGreaterThan(0.7);
});

test('an unknown word gets phones of the model only', () => {
  const phones = new Set([...dictionary.values()].flatMap((entry) => entry.split(' ')));
  for (const word of ['gargle', 'spritz', 'gunk', 'wheezy', 'salmeterol', 'xyzzy', 'qwt', "o'brien"]) {
    const found = pronounce(word, (other) => dictionary.get(other));
    expect(found, word).toBeTruthy();
    for (const phone of found?.split(' ') ?? []) expect(phones, `${word}: ${found}`).toContain(phone);
  }
});

test('what has no letters is left alone', () => {
  expect(pronounce('42', () => undefined)).toBeUndefined();
  expect(pronounce('niño', () => undefined)).toBeUndefined();
});
