import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { languagePack } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';

const en = languagePack('en')!;
const words = (text: string): string =>
  normalize(text, en)
    .map((token) => token.word)
    .join(' ');

describe('normalize', () => {
  it('takes contractions apart, with and without the apostrophe', () => {
    expect(words("I can't and won't, it's")).toBe('i can not and will not it is');
    expect(words('i cant and wont its')).toBe('i can not and will not it is');
    expect(words('I don\u2019t')).toBe('i do not');
  });

  it('takes the later of two fillers that share a word', () => {
    expect(normalize('mind, you know, the tube', en).map((token) => token.word)).toEqual([
      'mind',
      'the',
      'tube',
    ]);
  });

  it('drops fillers and stumbles', () => {
    expect(words('Um, you know, I I, uh, shake shake it')).toBe('i shake it');
  });

  it('keeps numbers that are said twice', () => {
    expect(words('nine one one')).toBe('nine one one');
  });

  it('keeps the end of a sentence with the word before it, not a dot within a figure', () => {
    const ends = (text: string) =>
      normalize(text, languagePack('en')!)
        .filter((token) => token.ends)
        .map(({ word }) => word);
    expect(ends('Shake it. Wait, then breathe! Done.')).toEqual(['it', 'breathe']);
    expect(ends('I wait 2.5 minutes um. Again')).toEqual(['minutes']);
  });

  it('keeps a question mark with the word before it', () => {
    expect(normalize('Do I rinse it?', en).map((token) => token.asks)).toEqual([false, false, false, true]);
  });

  it('points every word at its place in the original text', () => {
    const text = 'Well — I DON\u2019T know; ten\u00a0minutes!';
    for (const token of normalize(text, en))
      expect(text.slice(token.start, token.end)).toMatch(/^[\p{L}\u2019]+$/u);
  });

  it('takes any text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
        for (const token of normalize(text, en)) {
          expect(token.start).toBeGreaterThanOrEqual(0);
          expect(token.end).toBeLessThanOrEqual(text.length);
          expect(token.start).toBeLessThan(token.end);
        }
      }),
    );
  });
});
