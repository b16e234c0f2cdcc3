import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Chances } from '../../../../src/hearing/embedded/transformer/chances';
import { Prior } from '../../../../src/hearing/embedded/transformer/prior';

const phrases = ['shake the inhaler', 'shake it well', 'the spacer'].map((phrase) => phrase.split(' '));
const options = {
  vocabulary: new Chances([
    ['cat', 3],
    ['the', 7],
  ]),
  vocabularyShare: 0.2,
};
const prior = new Prior([{ phrases, weight: 1 }], options);
const words = ['shake', 'the', 'inhaler', 'it', 'well', 'spacer', 'cat'];

describe('a prior', () => {
  test('gives what follows in the phrases more than what does not', () => {
    expect(prior.is('shake', 'it')).toBeGreaterThan(10 * prior.is('shake', 'cat'));
    expect(prior.begins('the', 'sp')).toBeGreaterThan(prior.begins('the', 'ca'));
  });

  test('backs off by Witten and Bell: two kinds in two sightings leave a half to words at large', () => {
    // P(it | shake) = 2/(2+2) * 1/2 + (1 - 2/4) * P(it); P(it) = 0.98 * 0.8 * 1/8
    const strange = 0.02 * 0.8 * 0.2 ** 2;
    expect(prior.is('shake', 'it')).toBeCloseTo(0.25 + 0.5 * 0.98 * 0.8 * (1 / 8) + strange, 10);
  });

  test('sums to one over what is known, but for words that are not', () => {
    for (const before of ['', 'shake', 'the', 'nobody said this']) {
      const known = words.reduce((sum, word) => sum + prior.is(before, word), 0);
      expect(known).toBeGreaterThan(0.97);
      expect(known).toBeLessThanOrEqual(1.01);
    }
  });

  test('never gives longer letters more than shorter ones, nor a word more than its letters', () => {
    fc.assert(
      fc.property(fc.constantFrom('', ...words), fc.constantFrom(...words), (before, word) => {
        for (let at = 1; at < word.length; at++)
          expect(prior.begins(before, word.slice(0, at + 1))).toBeLessThanOrEqual(
            prior.begins(before, word.slice(0, at)) + 1e-12,
          );
        expect(prior.is(before, word)).toBeLessThanOrEqual(prior.begins(before, word) + 1e-12);
      }),
    );
  });

  test('leaves a word that nobody knows possible', () => {
    expect(prior.is('the', 'xylophone')).toBeGreaterThan(0);
    expect(new Prior([]).is('', 'anything')).toBeGreaterThan(0);
  });
});
