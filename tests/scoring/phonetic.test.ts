import { doubleMetaphone } from 'double-metaphone';
import { distance } from 'fuzzball';
import jaroWinkler from 'jaro-winkler';
import { describe, expect, it } from 'vitest';
import { edits } from '../../src/scoring/similar';
import { skipped } from '../skipped';
import { outside } from './outside';

const sounds = outside('phonetic/double_metaphone.tsv');
const alike = outside('phonetic/jellyfish/jaro_winkler.csv');
const distances = outside('phonetic/jellyfish/levenshtein.csv');

/** Rows "a,b,number" of a jellyfish table (MIT); quoted rows are left out. */
const table = (text: string): [string, string, number][] =>
  text.split(/\r?\n/).flatMap((line) => {
    const row = /^([^",]*),([^",]*),([\d.]+)$/.exec(line);
    return row ? [[row[1]!, row[2]!, Number(row[3])] as [string, string, number]] : [];
  });

describe('sound and spelling beside other libraries', () => {
  // Apache commons-codec (Apache-2.0), DoubleMetaphone2Test: both codes, cut at four letters there.
  it('gives both Double Metaphone codes of a word', () => {
    expect(doubleMetaphone('Thumb')).toEqual(['0M', 'TM']);
  });

  it.skipIf(sounds.absent)(`gives them of at least 99 % of 1,221 words${skipped(sounds.absent)}`, () => {
    const rows = sounds
      .read()
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
    for (const [a, b, expected] of published)
      expect(Math.abs(jaroWinkler(a, b) - expected), `${a} ${b}`).toBeLessThan(0.0006);
  });

  it.skipIf(alike.absent)(`gives those of the whole table${skipped(alike.absent)}`, () => {
    const rows = table(alike.read());
    expect(rows.length).toBeGreaterThan(5);
    for (const [a, b, expected] of rows)
      expect(Math.abs(jaroWinkler(a, b) - expected), `${a} ${b}`).toBeLessThan(0.0006);
  });

  const unswapped = 'counts edits as jellyfish does where no neighbours are swapped';
  it.skipIf(distances.absent)(`${unswapped}${skipped(distances.absent)}`, () => {
    const rows = table(distances.read());
    expect(rows.length).toBeGreaterThanOrEqual(4);
    for (const [a, b, expected] of rows) {
      expect(distance(a, b, { full_process: false }), `${a} ${b}`).toBe(expected);
      expect(edits(a, b, 99), `${a} ${b}`).toBe(expected);
    }
  });
});
