import fc from 'fast-check';
import { toCardinal as british } from 'n2words/en-GB';
import { toCardinal as american } from 'n2words/en-US';
import { toCardinal as spanish } from 'n2words/es-ES';
import { toCardinal as mexican } from 'n2words/es-MX';
import { toCardinal as belgian } from 'n2words/fr-BE';
import { toCardinal as french } from 'n2words/fr-FR';
import { ToWords } from 'to-words';
import { describe, expect, it } from 'vitest';
import { languagePack, languagePacks } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';
import { findNumbers, readNumber } from '../../src/scoring/numbers';
import { anyText } from './anyText';

const read = (text: string, language = 'en'): number | null => {
  const pack = languagePack(language)!;
  const tokens = normalize(text, pack);
  const found = readNumber(tokens, 0, pack);
  return found && found.end === tokens.length ? found.value : null;
};
const all = (text: string, language = 'en'): [number, number][] => {
  const pack = languagePack(language)!;
  return findNumbers(normalize(text, pack), pack)
    .filter((number) => !number.implied)
    .map(({ low, high }) => [low, high]);
};
const plain = (text: string): string => text.normalize('NFD').replace(/\p{M}/gu, '');

describe('number words', () => {
  // Independent spellers: to-words (MIT), n2words (MIT).
  const toWords = new ToWords({ localeCode: 'en-US' });
  it.each([
    ['en', 'to-words en-US', (value: number) => toWords.convert(value)],
    ['en', 'n2words en-US', (value: number) => american(value)],
    ['en', 'n2words en-GB', (value: number) => british(value)],
    ['es', 'n2words es-ES', (value: number) => spanish(value)],
    ['es', 'n2words es-MX', (value: number) => mexican(value)],
    ['fr', 'n2words fr-FR', (value: number) => french(value)],
    ['fr', 'n2words fr-BE', (value: number) => belgian(value)],
  ])('in %s every number from 0 to 9999 is read back as %s spells it', (language, _, spell) => {
    for (let value = 0; value <= 9999; value++) {
      const text = spell(value);
      // As written, and as a recogniser writes: small letters, no hyphens, no accents.
      for (const form of [text, plain(text).toLowerCase().replaceAll('-', ' ')]) {
        const got = read(form, language);
        if (got !== value) expect(`${form} = ${got}`).toBe(`${form} = ${value}`);
      }
    }
  });

  it.each([
    ['en', (value: number) => american(value)],
    ['es', (value: number) => spanish(value)],
    ['fr', (value: number) => french(value)],
  ])('in %s tenths are read back', (language, spell) => {
    for (let tenths = 1; tenths < 300; tenths++) {
      const text = spell(tenths / 10);
      if (read(text, language) !== tenths / 10) expect(`${text} = ${read(text, language)}`).toBe(tenths / 10);
    }
  });

  it.each([
    ['en', 'two hundred and five', 205],
    ['en', 'three thousand and twelve', 3012],
    ['en', 'TWENTY-FIVE', 25],
    ['en', 'a hundred', 100],
    ['en', 'two and a half', 2.5],
    ['en', 'two point zero five', 2.05],
    ['es', 'veintidós', 22],
    ['es', 'veintidos', 22],
    ['es', 'diez y seis', 16],
    ['es', 'treinta y un', 31],
    ['es', 'dos y media', 2.5],
    ['es', 'dos coma cinco', 2.5],
    ['fr', 'quatre-vingt-dix-sept', 97],
    ['fr', 'quatre vingt dix sept', 97],
    ['fr', 'soixante et onze', 71],
    ['fr', 'septante-deux', 72],
    ['fr', 'deux et demie', 2.5],
    ['fr', 'zéro virgule cinq', 0.5],
  ])('in %s "%s" is %d', (language, text, value) => {
    expect(read(text, language)).toBe(value);
  });

  // Decimal signs: NIST SP 811 (point), Real Academia Española and SI brochure (comma).
  it.each([
    ['en', '1,250', 1250],
    ['en', '2.5', 2.5],
    ['en', '2,5', 2.5],
    ['en', '.5', 0.5],
    ['en', '1/2', 0.5],
    ['en', '2½', 2.5],
    ['en', '10 000', 10_000],
    ['es', '2,5', 2.5],
    ['es', '1.250', 1250],
    ['es', '2.5', 2.5],
    ['es', '1.250,5', 1250.5],
    ['fr', '1 250,5', 1250.5],
    ['fr', '0,25', 0.25],
  ])('in %s "%s" is written for %d', (language, text, value) => {
    expect(read(text, language)).toBe(value);
  });

  it.each(['hundred', 'and', 'twenty thirty', 'five six', '12:30', '1.2.3', ''])(
    'reads "%s" as no single number',
    (text) => {
      expect(read(text)).toBeNull();
    },
  );

  it.each([
    ['en', 'ten to fifteen minutes', 10, 15],
    ['en', 'two three minutes', 2, 3],
    ['en', '2-3 puffs', 2, 3],
    ['en', 'five or ten minutes', 5, 10],
    ['en', 'between 5 and 10', 5, 10],
    ['en', 'half an hour', 0.5, 0.5],
    ['en', 'three quarters of an hour', 0.75, 0.75],
    ['es', 'cinco a diez', 5, 10],
    ['es', 'entre 5 y 10', 5, 10],
    ['es', 'dos o tres veces', 2, 3],
    ['es', 'media hora', 0.5, 0.5],
    ['es', 'unos diez minutos', 10, 10],
    ['fr', 'de 5 à 10 minutes', 5, 10],
    ['fr', 'entre cinq et dix', 5, 10],
    ['fr', 'deux ou trois fois', 2, 3],
    ['fr', 'une demi-heure', 0.5, 0.5],
    ['fr', "trois quarts d'heure", 0.75, 0.75],
  ])('in %s joins "%s"', (language, text, low, high) => {
    expect(all(text, language)).toEqual([[low, high]]);
  });

  it('takes nine one one for a name, not an amount', () => {
    expect(all('call nine one one')).toEqual([]);
    expect(all('call 911')).toEqual([]);
    expect(all('llamo al nueve uno uno', 'es')).toEqual([]);
  });

  it('knows "that one" for no amount', () => {
    expect(all('I use that one')).toEqual([]);
    expect(all('that one minute counts')).toEqual([[1, 1]]);
  });

  it('keeps two numbers in a row apart', () => {
    expect(all('three hundred and two hundred')).toEqual([
      [300, 300],
      [200, 200],
    ]);
  });

  it('reads any text in any language without failing', () => {
    const words = Object.values(languagePacks).flatMap(({ numbers }) => [
      ...Object.keys(numbers.units),
      ...Object.keys(numbers.scales),
      ...numbers.joiners,
      ...numbers.half,
      ...numbers.quarter,
      ...numbers.point,
      ...numbers.one,
      '5',
      '1.5',
      '1/2',
      '½',
    ]);
    fc.assert(
      fc.property(anyText(words), fc.constantFrom('en', 'es', 'fr'), (text, language) => {
        const pack = languagePack(language)!;
        const tokens = normalize(text, pack);
        let last = 0;
        for (const { low, high, start, end } of findNumbers(tokens, pack)) {
          expect(low).toBeLessThanOrEqual(high);
          expect(start).toBeGreaterThanOrEqual(last);
          expect(end).toBeGreaterThan(start);
          expect(end).toBeLessThanOrEqual(tokens.length);
          last = end;
        }
      }),
      { numRuns: 500 },
    );
  });
});
