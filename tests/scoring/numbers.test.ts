import { ToWords } from 'to-words';
import { describe, expect, it } from 'vitest';
import { languagePack } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';
import { findNumbers, readNumber } from '../../src/scoring/numbers';
import { outside } from './outside';

const en = languagePack('en')!;
const read = (text: string): number | null => {
  const tokens = normalize(text, en);
  const found = readNumber(tokens, 0, en);
  return found && found.end === tokens.length ? found.value : null;
};

describe('number words', () => {
  // to-words (MIT), an independent speller.
  it('reads back every number from 0 to 9999 as to-words spells it', () => {
    const speller = new ToWords({ localeCode: 'en-US' });
    for (let value = 0; value <= 9999; value++) {
      const text = speller.convert(value);
      if (read(text) !== value) expect(`${text} = ${read(text)}`).toBe(`${text} = ${value}`);
    }
  });

  it('reads them with "and" as well, and as digits', () => {
    expect(read('two hundred and five')).toBe(205);
    expect(read('three thousand and twelve')).toBe(3012);
    expect(read('1,250')).toBe(1250);
    expect(read('2.5')).toBe(2.5);
  });

  it.each(['hundred', 'and', 'twenty thirty', 'five six', ''])('reads "%s" as no single number', (text) => {
    expect(read(text)).toBeNull();
  });

  it('joins ranges', () => {
    const ranges = (text: string): [number, number][] =>
      findNumbers(normalize(text, en), en).map(({ low, high }) => [low, high]);
    expect(ranges('ten to fifteen minutes')).toEqual([[10, 15]]);
    expect(ranges('two three minutes')).toEqual([[2, 3]]);
    expect(ranges('five or ten minutes')).toEqual([[5, 10]]);
    expect(ranges('half an hour')).toEqual([[0.5, 0.5]]);
  });

  it('takes nine one one for a name, not an amount', () => {
    expect(findNumbers(normalize('call nine one one', en), en)).toEqual([]);
  });

  // Recognizers-Text (MIT), Specs/Number/English/NumberModel.json: whole-text integers.
  it('agrees with Recognizers-Text on plain whole numbers', () => {
    const text = outside('numbers/recognizers/English/NumberModel.json');
    if (!text) return;
    const specs = JSON.parse(text) as {
      Input: string;
      Results: { Text: string; Resolution?: { value?: string } }[];
    }[];
    let all = 0;
    let right = 0;
    for (const { Input, Results } of specs) {
      const [only] = Results;
      if (Results.length !== 1 || !only?.Resolution?.value || !/^[a-z -]+$/i.test(Input)) continue;
      if (only.Text.length !== Input.trim().length || !/^\d{1,6}$/.test(only.Resolution.value)) continue;
      if (/doz|couple|pair|point|half|third|fourth|fifth|sixth|quarter|lakh|trio/i.test(Input)) continue;
      all++;
      if (read(Input.replaceAll('-', ' ')) === Number(only.Resolution.value)) right++;
    }
    console.info(`Recognizers-Text whole numbers: ${right} of ${all}`);
    expect(right / all).toBeGreaterThan(0.9);
  });
});
