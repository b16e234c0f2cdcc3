import { join } from 'node:path';
import createModule from 'soundswallower';
import { beforeAll, expect, test, vi } from 'vitest';
import { packageFolder } from '../../../../src/hearing/embedded/package-folder';
import { answerModel } from '../../../../src/hearing/embedded/sphinx/answer-model';
import { Decoder } from '../../../../src/hearing/embedded/sphinx/decoder';
import { french } from '../../../../src/hearing/embedded/sphinx/french';
import { compileLanguageModel } from '../../../../src/hearing/embedded/sphinx/language-model';

const modelBase = join(packageFolder('soundswallower'), 'model/');

// A busy machine takes long over a grammar of thousands of words.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

let decoder: Decoder;
beforeAll(async () => {
  decoder = await Decoder.open({ createModule, modelBase }, 'fr');
});

const grammar = (...phrases: string[]) =>
  compileLanguageModel([{ phrases, weight: 1 }], { knows: () => true });

test('a language without a model is refused by name', async () => {
  await expect(Decoder.open({ createModule, modelBase }, 'fi')).rejects.toThrow('"fi"');
});

test('a model that is not there is refused', async () => {
  await expect(Decoder.open({ createModule, modelBase: '/nowhere/' }, 'fr')).rejects.toThrow();
});

test('a word that was taught is looked up anew', () => {
  expect(decoder.phones('bouche')).toBe('bb ou ch');
  expect(decoder.phones('inhalateur')).toBeUndefined();
  decoder.addWords([['inhalateur', 'ii nn aa ll aa tt oe rr']]);
  expect(decoder.phones('inhalateur')).toBe('ii nn aa ll aa tt oe rr');
});

test('grammars of a whole visit, one after the other, take the memory of one', () => {
  const steps = [
    'je secoue bien',
    'je souffle tout mon air',
    'je retiens mon souffle',
    'je rince et je crache',
    'je laisse sécher',
  ];
  const taken = steps.map((phrase) => {
    decoder.setGrammar(answerModel({ step: [phrase], module: steps }, decoder, french));
    return decoder.memory;
  });
  expect(taken[0]).toBeGreaterThan(0);
  expect(Math.max(...taken)).toBeLessThanOrEqual(1.1 * taken[0]!);
});

test('a grammar with a word that the dictionary lacks is refused before it can do harm', () => {
  expect(() => decoder.setGrammar(grammar('la bouche xqzzt'))).toThrow('no pronunciation for "xqzzt"');
  expect(() => decoder.setGrammar(grammar('la bouche'))).not.toThrow();
});
