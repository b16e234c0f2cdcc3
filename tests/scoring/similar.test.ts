import { describe, expect, it } from 'vitest';
import { dice, edits, soundOf, speller } from '../../src/scoring/similar';
import { skipped } from '../skipped';
import { outside } from './outside';

const swaps = outside('phonetic/jellyfish/damerau_levenshtein.csv');
const sounds = outside('phonetic/double_metaphone.tsv');

describe('similarity of words', () => {
  // Worked examples of the string-similarity readme.
  it('gives the published Dice coefficients', () => {
    expect(dice('healed', 'sealed')).toBeCloseTo(0.8, 10);
    expect(
      dice(
        'Olive-green table for sale, in extremely good condition.',
        'For sale: table in very good  condition, olive green in colour.',
      ),
    ).toBeCloseTo(0.6060606060606061, 10);
    expect(dice('night', 'nacht')).toBeCloseTo(0.25, 10);
  });

  // jellyfish (MIT), testdata/damerau_levenshtein.csv, three rows inlined.
  it('counts edits as jellyfish does', () => {
    expect(edits('abc', 'acb')).toBe(1);
    expect(edits('cape sand recycling ', 'edith ann graham', 30)).toBe(17);
    expect(edits('ab', 'ba')).toBe(1);
  });

  it.skipIf(swaps.absent)(`counts edits as all of its table does${skipped(swaps.absent)}`, () => {
    let rows = 0;
    for (const line of swaps.read().split(/\r?\n/)) {
      const row = /^([^",]*),([^",]*),(\d+)$/.exec(line);
      if (!row) continue;
      expect(edits(row[1]!, row[2]!, 99), line).toBe(Number(row[3]));
      rows++;
    }
    expect(rows).toBeGreaterThan(5);
  });

  it('stops counting at the limit', () => {
    expect(edits('spacer', 'compressor', 2)).toBe(3);
  });

  // Apache commons-codec (Apache-2.0), DoubleMetaphone2Test data.
  it('gives the published Double Metaphone codes', () => {
    expect(soundOf('Acton')).toBe('AKTN');
  });

  it.skipIf(sounds.absent)(`gives 97 % of its first codes${skipped(sounds.absent)}`, () => {
    let right = 0;
    let all = 0;
    for (const line of sounds.read().trim().split(/\r?\n/).slice(1)) {
      const [word = '', primary = ''] = line.split('\t');
      // commons-codec cuts codes at four letters.
      if (soundOf(word).slice(0, 4) === primary.slice(0, 4)) right++;
      all++;
    }
    expect(all).toBeGreaterThan(1000);
    expect(right / all).toBeGreaterThan(0.97);
  });

  const spell = speller(
    ['spacer', 'compressor', 'mouthpiece', 'nebulizer', 'heart', 'mist'],
    new Set(['heard', 'most', 'space']),
  );

  it.each([
    ['mouthpeice', 'mouthpiece'],
    ['compresser', 'compressor'],
    ['nebuliser', 'nebulizer'],
    ['hart', 'heart'],
    ['missed', 'mist'],
  ])('hears through "%s"', (word, known) => {
    expect(spell.find(word)).toBe(known);
  });

  it.each(['heard', 'most', 'space', 'banana', 'a', '', '12'])('leaves "%s" as it is', (word) => {
    expect(spell.find(word)).toBeNull();
  });
});
