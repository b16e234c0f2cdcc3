import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import createModule from 'soundswallower';
import { beforeAll, expect, test, vi } from 'vitest';
import { answerModel } from '../../../src/hearing/embedded/answer-model';
import { Decoder } from '../../../src/hearing/embedded/decoder';
import { english } from '../../../src/hearing/embedded/english';
import { compileLanguageModel } from '../../../src/hearing/embedded/language-model';

const modelBase = join(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model/');

// A busy machine takes long over a grammar of thousands of words.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

let decoder: Decoder;
beforeAll(async () => {
  decoder = await Decoder.open({ createModule, modelBase }, 'en');
});

const grammar = (...phrases: string[]) =>
  compileLanguageModel([{ phrases, weight: 1 }], { knows: () => true });

test('a word that was taught is looked up anew', () => {
  expect(decoder.phones('shake')).toBe('SH EY K');
  expect(decoder.phones('spritzerino')).toBeUndefined();
  decoder.addWords([['spritzerino', 'S P R IH T S ER IY N OW']]);
  expect(decoder.phones('spritzerino')).toBe('S P R IH T S ER IY N OW');
});

test('grammars of a whole visit, one after the other, take the memory of one', () => {
  const steps = [
    'shake it well',
    'breathe all the way out',
    'hold my breath',
    'rinse and spit',
    'let it dry',
  ];
  const taken = steps.map((phrase) => {
    decoder.setGrammar(answerModel({ step: [phrase], module: steps }, decoder, english));
    return decoder.memory;
  });
  expect(taken[0]).toBeGreaterThan(0);
  expect(Math.max(...taken)).toBeLessThanOrEqual(1.1 * taken[0]!);
});

test('a grammar with a word that the dictionary lacks is refused before it can do harm', () => {
  expect(() => decoder.setGrammar(grammar('shake the xqzzt'))).toThrow('no pronunciation for "xqzzt"');
  expect(() => decoder.setGrammar(grammar('shake it well'))).not.toThrow();
});
