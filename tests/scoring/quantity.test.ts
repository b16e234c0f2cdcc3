import fc from 'fast-check';
import { toCardinal as english } from 'n2words/en-US';
import { toCardinal as spanish } from 'n2words/es-ES';
import { toCardinal as french } from 'n2words/fr-FR';
import { describe, expect, it } from 'vitest';
import { languagePack, languagePacks } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';
import { findQuantities, fits } from '../../src/scoring/quantity';
import { anyText } from './anyText';

const find = (text: string, language = 'en') => {
  const pack = languagePack(language)!;
  return findQuantities(normalize(text, pack), pack);
};
const minute = 60;
const week = 604_800;

describe('a second', () => {
  const durations = (text: string, language = 'en') =>
    find(text, language)
      .filter(({ kind }) => kind === 'duration')
      .map(({ low }) => low);

  it('puff is the next one and takes no time', () => {
    expect(durations('I wait about a minute before I take a second puff')).toEqual([60]);
    expect(durations('espero un minuto y tomo una segunda dosis', 'es')).toEqual([60]);
    expect(durations("j'attends une minute avant une seconde bouffée", 'fr')).toEqual([60]);
  });

  it('is a duration elsewhere, also before such a word when it is counted', () => {
    expect(durations('wait a second')).toEqual([1]);
    expect(durations('a second or two')).not.toEqual([]);
    expect(durations('I take a ten second breath')).toEqual([10]);
  });
});

describe('quantities', () => {
  it.each([
    ['en', 'ten minutes', 'duration', 600, 600],
    ['en', '10 min', 'duration', 600, 600],
    ['en', '3 h', 'duration', 10_800, 10_800],
    ['en', 'half an hour', 'duration', 1800, 1800],
    ['en', 'half a minute', 'duration', 30, 30],
    ['en', 'a minute', 'duration', 60, 60],
    ['en', 'a full minute', 'duration', 60, 60],
    ['en', 'a minute and a half', 'duration', 90, 90],
    ['en', 'an hour thirty', 'duration', 5400, 5400],
    ['en', 'one minute and thirty seconds', 'duration', 90, 90],
    ['en', 'a quarter of an hour', 'duration', 900, 900],
    ['en', 'fifteen to thirty minutes', 'duration', 15 * minute, 30 * minute],
    ['en', 'for two weeks', 'duration', 2 * week, 2 * week],
    ['en', 'a fortnight', 'duration', 2 * week, 2 * week],
    ['en', 'all day', 'duration', week / 7, week / 7],
    ['en', 'I count slowly to ten', 'duration', 10, 10],
    ['en', 'once a week', 'frequency', 1, 1],
    ['en', 'one time in the week', 'frequency', 1, 1],
    ['en', 'every week', 'frequency', 1, 1],
    ['en', 'weekly', 'frequency', 1, 1],
    ['en', 'three times weekly', 'frequency', 3, 3],
    ['en', 'twice daily', 'frequency', 14, 14],
    ['en', 'on Sundays', 'frequency', 1, 1],
    ['en', 'Monday, Wednesday and Friday', 'frequency', 3, 3],
    ['en', 'every other week', 'frequency', 0.5, 0.5],
    ['en', 'every two weeks', 'frequency', 0.5, 0.5],
    ['en', 'twice a day', 'frequency', 14, 14],
    ['en', 'every day', 'frequency', 7, 7],
    ['en', 'every other day', 'frequency', 3.5, 3.5],
    ['en', 'every third day', 'frequency', 7 / 3, 7 / 3],
    ['en', 'every second', 'frequency', week, week],
    ['en', 'every 6 hours', 'frequency', 28, 28],
    ['en', 'every four to six hours', 'frequency', 28, 42],
    ['en', 'q6h', 'frequency', 28, 28],
    ['en', 'q 6 h', 'frequency', 28, 28],
    ['en', 'b.i.d.', 'frequency', 14, 14],
    ['en', 'TID', 'frequency', 21, 21],
    ['en', 'morning and night', 'frequency', 14, 14],
    ['en', '3 tiems a day', 'frequency', 21, 21],
    ['en', 'once in the morning and once at night', 'frequency', 14, 14],
    ['en', 'every morning and evening', 'frequency', 14, 14],
    ['en', 'Monday through Friday', 'frequency', 5, 5],
    ['en', 'once or twice a week', 'frequency', 1, 2],
    ['en', 'seven days a week', 'frequency', 7, 7],
    ['en', 'a minute or two', 'duration', 60, 120],
    ['en', 'thirty seconds to a minute', 'duration', 30, 60],
    ['en', 'ten feet', 'distance', 10, 10],
    ['en', 'five feet and six inches', 'distance', 5.5, 5.5],
    ['en', 'fifty foot', 'distance', 50, 50],
    ['en', 'two puffs', 'number', 2, 2],
    ['es', 'diez minutos', 'duration', 600, 600],
    ['es', 'media hora', 'duration', 1800, 1800],
    ['es', 'una hora y media', 'duration', 5400, 5400],
    ['es', 'dos y media horas', 'duration', 9000, 9000],
    ['es', 'un cuarto de hora', 'duration', 900, 900],
    ['es', 'una hora treinta', 'duration', 5400, 5400],
    ['es', 'un minuto y medio', 'duration', 90, 90],
    ['es', 'entre 5 y 10 segundos', 'duration', 5, 10],
    ['es', 'todo el día', 'duration', week / 7, week / 7],
    ['es', 'cuento hasta diez', 'duration', 10, 10],
    ['es', 'dos veces al día', 'frequency', 14, 14],
    ['es', 'DOS VECES AL DIA', 'frequency', 14, 14],
    ['es', 'cada ocho horas', 'frequency', 21, 21],
    ['es', 'cada 4 a 6 horas', 'frequency', 28, 42],
    ['es', 'una vez a la semana', 'frequency', 1, 1],
    ['es', 'una vez cada dos semanas', 'frequency', 0.5, 0.5],
    ['es', 'tres veces por semana', 'frequency', 3, 3],
    ['es', 'todos los días', 'frequency', 7, 7],
    ['es', 'un día sí y otro no', 'frequency', 3.5, 3.5],
    ['es', 'cada tercer día', 'frequency', 7 / 3, 7 / 3],
    ['es', 'una vez en la mañana y otra en la noche', 'frequency', 14, 14],
    ['es', 'de lunes a viernes', 'frequency', 5, 5],
    ['es', 'una sola vez al día', 'frequency', 7, 7],
    ['es', 'hora y media', 'duration', 5400, 5400],
    ['es', 'un minuto o dos', 'duration', 60, 120],
    ['es', 'los domingos', 'frequency', 1, 1],
    ['es', 'semanalmente', 'frequency', 1, 1],
    ['es', 'tres metros', 'distance', 3 / 0.3048, 3 / 0.3048],
    ['es', 'dos inhalaciones', 'number', 2, 2],
    ['es', 'una inhalación', 'number', 1, 1],
    ['fr', 'dix minutes', 'duration', 600, 600],
    ['fr', 'une demi-heure', 'duration', 1800, 1800],
    ['fr', 'une heure et demie', 'duration', 5400, 5400],
    ['fr', 'une heure trente', 'duration', 5400, 5400],
    ['fr', "un quart d'heure", 'duration', 900, 900],
    ['fr', 'quinze à trente secondes', 'duration', 15, 30],
    ['fr', 'toute la journée', 'duration', week / 7, week / 7],
    ['fr', "je compte jusqu'à dix", 'duration', 10, 10],
    ['fr', 'deux fois par jour', 'frequency', 14, 14],
    ['fr', 'toutes les huit heures', 'frequency', 21, 21],
    ['fr', 'toutes les 4 à 6 heures', 'frequency', 28, 42],
    ['fr', 'une fois par semaine', 'frequency', 1, 1],
    ['fr', 'tous les deux jours', 'frequency', 3.5, 3.5],
    ['fr', 'un jour sur deux', 'frequency', 3.5, 3.5],
    ['fr', 'matin et soir', 'frequency', 14, 14],
    ['fr', 'une fois le matin et une fois le soir', 'frequency', 14, 14],
    ['fr', 'du lundi au vendredi', 'frequency', 5, 5],
    ['fr', 'une minute ou deux', 'duration', 60, 120],
    ['fr', 'le dimanche', 'frequency', 1, 1],
    ['fr', 'quatre-vingt-dix minutes', 'duration', 5400, 5400],
    ['fr', 'trois mètres', 'distance', 3 / 0.3048, 3 / 0.3048],
    ['fr', 'deux bouffées', 'number', 2, 2],
    ['fr', 'une bouffée', 'number', 1, 1],
  ])('in %s reads "%s" as a %s', (language, text, kind, low, high) => {
    const found = find(text, language);
    expect(found.map((item) => item.kind)).toEqual([kind]);
    expect(found[0]!.low).toBeCloseTo(low, 6);
    expect(found[0]!.high).toBeCloseTo(high, 6);
  });

  it.each([
    ['en', 'a spacer'],
    ['en', 'minutes'],
    ['en', 'for months'],
    ['en', 'the second time'],
    ['en', 'the mouth'],
    ['en', "at nine o'clock"],
    ['en', 'call nine eleven'],
    ['es', 'un espaciador'],
    ['es', 'a las ocho'],
    ['es', 'llamo al 911'],
    ['es', 'los minutos'],
    ['es', 'por la mañana'],
    ['fr', 'un embout'],
    ['fr', 'à huit heures'],
    ['fr', "j'appelle le quinze"],
    ['fr', 'le matin'],
    ['fr', 'tout le temps'],
  ])('in %s finds no amount in "%s"', (language, text) => {
    expect(find(text, language)).toEqual([]);
  });

  it.each([
    ['en', 'a few seconds'],
    ['es', 'unos minutos'],
    ['fr', 'quelques secondes'],
  ])('in %s takes "%s" for loose', (language, text) => {
    expect(find(text, language)).toMatchObject([{ kind: 'duration', vague: true }]);
  });

  it('keeps a dose, how often and how long apart', () => {
    expect(find('2 puffs every 4 hours for ten days').map((item) => item.kind)).toEqual([
      'number',
      'frequency',
      'duration',
    ]);
    expect(find('dos inhalaciones cada 4 horas por diez días', 'es').map((item) => item.kind)).toEqual([
      'number',
      'frequency',
      'duration',
    ]);
    expect(
      find('deux bouffées toutes les 4 heures pendant dix jours', 'fr').map((item) => item.kind),
    ).toEqual(['number', 'frequency', 'duration']);
  });

  // The international foot is 0.3048 m exactly (1959 agreement; NIST SP 811).
  it('turns meters into feet', () => {
    expect(find('three meters')[0]!.low).toBeCloseTo(3 / 0.3048, 9);
  });

  it('lets the last number stand when the speaker corrects it', () => {
    expect(find('ten, no wait, five minutes').map((item) => item.low)).toEqual([300]);
    expect(find('I wait five... not five, one. One minute.').map((item) => item.low)).toEqual([1, 60]);
  });

  it.each([
    ['es', 'diez, no, perdón, cinco', 5],
    ['es', 'diez, no, cinco', 5],
    ['en', 'ten no five', 5],
    ['es', 'diez segundos, mejor dicho cinco segundos', 5],
    ['fr', 'dix, non pardon, cinq', 5],
    ['fr', 'pas cinq, dix', 10],
    ['fr', 'dix secondes non cinq secondes', 5],
    ['fr', 'dix, je veux dire cinq', 5],
  ])('in %s lets the last number of "%s" stand', (language, text, value) => {
    expect(find(text, language).map((item) => item.low)).toEqual([value]);
  });

  it('keeps both when it cannot be told which is meant', () => {
    expect(find('diez no cinco', 'es').map((item) => item.low)).toEqual([10, 5]);
    expect(find('no cinco, uno', 'es').map((item) => item.low)).toEqual([1]);
  });

  it('knows what fits', () => {
    const hold = { kind: 'duration', value: 10, min: 5, max: 10, unit: 'second' } as const;
    const said = (text: string) => fits(find(text)[0]!, hold, true);
    expect(said('ten seconds')).toBe(true);
    expect(said('five to ten seconds')).toBe(true);
    expect(said('two seconds')).toBe(false);
    expect(said('a minute')).toBe(false);
    expect(said('a few seconds')).toBeNull();
    const change = { kind: 'interval', value: 14, min: 7, max: 30, unit: 'day' } as const;
    expect(fits(find('every two weeks')[0]!, change, false)).toBe(true);
    expect(fits(find('twice a month')[0]!, change, false)).toBe(true);
    expect(fits(find('every day')[0]!, change, false)).toBe(false);
  });

  // Numbers spelled by n2words (MIT), put into the usual sentences of each language, without punctuation.
  it.each([
    [
      'en',
      english,
      (n: string) => [`I wait ${n} minutes`, `${n} times a day`, `every ${n} hours`],
      (n: string, m: string) => `hold it for ${n} to ${m} seconds`,
    ],
    [
      'es',
      spanish,
      (n: string) => [`espero ${n} minutos`, `${n} veces al día`, `cada ${n} horas`],
      (n: string, m: string) => `aguanto de ${n} a ${m} segundos`,
    ],
    [
      'fr',
      french,
      (n: string) => [`j'attends ${n} minutes`, `${n} fois par jour`, `toutes les ${n} heures`],
      (n: string, m: string) => `je retiens mon souffle de ${n} à ${m} secondes`,
    ],
  ])('in %s reads every amount from 1 to 200 in a sentence', (language, spell, sentences, range) => {
    for (let value = 1; value <= 200; value++) {
      const [long = '', often = '', every = ''] = sentences(spell(value).replaceAll('-', ' '));
      const values = [long, often, every].map((text) => find(text, language).map((item) => item.low));
      expect(values, `${long}; ${often}; ${every}`).toEqual([
        [value * minute],
        [value * 7],
        [week / (value * 3600)],
      ]);
      const text = range(spell(value), spell(value + 3));
      expect(find(text, language), text).toMatchObject([{ kind: 'duration', low: value, high: value + 3 }]);
    }
  });

  it('reads any text in any language without failing', () => {
    const words = Object.values(languagePacks).flatMap((pack) => [
      ...Object.keys(pack.numbers.units),
      ...Object.keys(pack.durations),
      ...Object.keys(pack.adverbs),
      ...Object.keys(pack.idioms),
      ...pack.every,
      ...pack.per,
      ...pack.times,
      ...pack.weekdays,
      ...pack.whole,
      ...pack.numbers.half,
      ...pack.and,
      '5',
      'q',
      'h',
      '0',
    ]);
    fc.assert(
      fc.property(anyText(words), fc.constantFrom('en', 'es', 'fr'), (text, language) => {
        const pack = languagePack(language)!;
        const tokens = normalize(text, pack);
        for (const { low, high, start, end } of findQuantities(tokens, pack)) {
          expect(low).toBeLessThanOrEqual(high);
          expect(Number.isFinite(high)).toBe(true);
          expect(start).toBeGreaterThanOrEqual(0);
          expect(end).toBeGreaterThan(start);
          expect(end).toBeLessThanOrEqual(tokens.length);
        }
      }),
      { numRuns: 500 },
    );
  });
});
