import { doubleMetaphone } from 'double-metaphone';
import { distance } from 'fuzzball';
import jaroWinkler from 'jaro-winkler';
import { describe, expect, it } from 'vitest';
import { edits } from '../../src/scoring/similar';
import { outside } from './outside';

/** Rows "a,b,number" of a jellyfish table (MIT); quoted rows are left out. */
const table = (text: string): [string, string, number][] =>
  text.split(/\r?\n/).flatMap((line) => {
    const row = /^([^",]*),([^",]*),([\d.]+)$/.exec(line);
    return row ? [[row[1]!, row[2]!, Number(row[3])] as [string, string, number]] : [];
  });

describe('sound and spelling beside other libraries', () => {
  // Apache commons-codec (Apache-2.0), DoubleMetaphone2Test: both codes, cut at four letters there.
  it('gives both Double Metaphone codes of at least 99 % of 1,221 words', () => {
    expect(doubleMetaphone('Thumb')).toEqual(['0M', 'TM']);
    const text = outside('phonetic/double_metaphone.tsv');
    if (!text) return;
    const rows = text
      .trim()
      .split(/\r?\n/)
      .slice(1)
      .map((line) => line.split('\t'));
    const wrong = rows.filter(([word = '', primary, alternate]) => {
      const [first, second] = doubleMetaphone(word);
      return first.slice(0, 4) !== primary || second.slice(0, 4) !== alternate;
    });
    expect(rows.length).toBe(1221);
    expect(wrong.length / rows.length).toBeLessThanOrEqual(0.01);
  });

  it('gives the published Jaro-Winkler values, which a yardstick of the bench is made of', () => {
    // Winkler's own examples, as in the table of jellyfish (MIT).
    const published: [string, string, number][] = [
      ['martha', 'marhta', 0.961],
      ['dwayne', 'duane', 0.84],
      ['dixon', 'dicksonx', 0.813],
    ];
    const rows = table(outside('phonetic/jellyfish/jaro_winkler.csv') ?? '');
    for (const [a, b, expected] of [...published, ...rows])
      expect(Math.abs(jaroWinkler(a, b) - expected), `${a} ${b}`).toBeLessThan(0.0006);
  });

  it('counts edits as jellyfish does where no neighbours are swapped', () => {
    const text = outside('phonetic/jellyfish/levenshtein.csv');
    if (!text) return;
    const rows = table(text);
    expect(rows.length).toBeGreaterThanOrEqual(4);
    for (const [a, b, expected] of rows) {
      expect(distance(a, b, { full_process: false }), `${a} ${b}`).toBe(expected);
      expect(edits(a, b, 99), `${a} ${b}`).toBe(expected);
    }
  });
});
