import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dropAccents } from '../../phrasebanks/languages/accents';
import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { languagePack, languagePacks } from '../../src/scoring';
import { standingOf } from '../../src/scoring/clauses';
import { normalize, stemOf } from '../../src/scoring/normalize';
import { findNegations, negated } from '../../src/scoring/polarity';

const packOf = (language: string): LanguagePack => languagePack(language)!;
const words = (text: string, language: string): string =>
  normalize(text, packOf(language))
    .map((token) => token.word)
    .join(' ');
/** Is the word denied in the text? */
const denied = (text: string, word: string, language: string): boolean => {
  const tokens = normalize(text, packOf(language));
  const at = tokens.findIndex((token) => token.word === word);
  expect(at, `"${word}" in "${tokens.map((token) => token.word).join(' ')}"`).toBeGreaterThanOrEqual(0);
  return negated(findNegations(tokens, packOf(language)), at, at + 1);
};
const standing = (text: string, language: string) => {
  const tokens = normalize(text, packOf(language));
  return { tokens, ...standingOf(tokens, packOf(language)) };
};

describe('language packs', () => {
  it('are found by their tag', () => {
    expect(languagePack('es-MX')?.language).toBe('es');
    expect(languagePack('FR')?.language).toBe('fr');
    expect(languagePack('de')).toBeNull();
  });

  // An entry that no answer can hold would never be found.
  it.each(['es', 'fr'])('%s: every phrase is written as answers are compared', (language) => {
    const pack = { ...packOf(language), fillers: [] };
    const bad: string[] = [];
    const check = (value: unknown, path: string): void => {
      if (Array.isArray(value)) {
        for (const item of value) {
          if (typeof item !== 'string') continue;
          const got = normalize(item, pack)
            .map((token) => token.word)
            .join(' ');
          if (got !== item) bad.push(`${path}: "${item}" is compared as "${got}"`);
        }
      } else if (value !== null && typeof value === 'object') {
        for (const [key, item] of Object.entries(value)) check(item, `${path}.${key}`);
      }
    };
    const { expand: _, intransitive: __, cues, ...rest } = { ...packOf(language), intransitive: [] };
    check({ ...rest, negation: { ...rest.negation, intransitive: [] }, keepAccents: [] }, language);
    for (const [command, ways] of Object.entries(cues))
      check(
        ways.flatMap((way) => way.split(/[ |]/)),
        `${language}.cues.${command}`,
      );
    expect(bad).toEqual([]);
  });

  it.each(['es', 'fr'])('%s: every word of a table is written as answers are compared', (language) => {
    const pack = { ...packOf(language), fillers: [] };
    const { units, tens, hundreds, scales, vague, ordinals } = pack.numbers;
    const tables = { units, tens, hundreds, scales, vague, ordinals, idioms: pack.idioms };
    for (const table of [
      ...Object.values(tables),
      pack.durations,
      pack.distances,
      pack.adverbs,
      pack.irregular,
    ]) {
      for (const key of Object.keys(table)) {
        const got = normalize(key, pack)
          .map((token) => token.word)
          .join(' ');
        expect(got).toBe(key);
      }
    }
  });

  it.each([
    ['es', 'ENJUÁGUESE LA BOCA', 'enjuaguese la boca'],
    ['es', 'después del desayuno', 'despues de el desayuno'],
    ['es', 'cerca al fuego', 'cerca a el fuego'],
    ['es', 'sí', 'sí'],
    ['es', 'si', 'si'],
    ['fr', "l'embout", 'le embout'],
    ['fr', 'L\u2019EMBOUT', 'le embout'],
    ['fr', "qu'il", 'que il'],
    ['fr', "j'attends jusqu'à dix", 'je attends jusque a dix'],
    ['fr', 'près du feu', 'pres de le feu'],
    ['fr', "aujourd'hui", 'aujourdhui'],
    ['fr', 'ma sœur', 'ma soeur'],
    ['fr', 'où', 'où'],
    ['fr', 'ou', 'ou'],
  ])('%s: takes "%s" apart', (language, text, expected) => {
    expect(words(text, language)).toBe(expected);
  });

  it.each([
    ['es', 'Espero más de un día, después respiro', 'espero mas de un dia despues respiro'],
    ['fr', 'J\u2019expire à côté, puis j\u2019inspire', 'j expire a cote puis j inspire'],
  ])('%s: reads "%s" without its accents and signs alike', (language, text, bare) => {
    expect(words(bare, language)).toBe(words(text, language));
  });

  it.each([
    ['es', 'eh, pues, o sea, espero un minuto, este, bueno', 'espero un minuto'],
    ['fr', "euh, ben, j'attends, voilà, une minute, quoi", 'je attends une minute'],
  ])('%s: lets the fillers of "%s" pass', (language, text, expected) => {
    expect(words(text, language)).toBe(expected);
  });

  it.each([
    ['es', ['respiración', 'respiracion', 'respiraciones']],
    ['es', ['agito', 'agitar', 'agitando', 'agite']],
    ['es', ['enjuago', 'enjuague', 'enjuagar', 'enjuagarme']],
    ['es', ['pongo', 'puse', 'poner', 'puesto']],
    ['es', ['semana', 'semanas']],
    ['es', ['pared', 'paredes']],
    ['es', ['inhalación', 'inhalaciones']],
    ['fr', ['rincer', 'rince', 'rincez', 'rincé']],
    ['fr', ['respiration', 'respirations', 'respirer', 'respirez']],
    ['fr', ['mets', 'mettre', 'mis', 'mettez']],
    ['fr', ['bouffée', 'bouffee', 'bouffées', 'bouffees']],
    ['fr', ['expire', 'expirez', 'expirer', 'expiré']],
    ['fr', ['tire', 'tirez', 'tirer']],
    ['fr', ['bouche', 'bouches']],
    ['fr', ['attends', 'attendre', 'attendez']],
    ['fr', ['tremper', 'trempe', 'trempent']],
    ['fr', ['éteindre', 'éteins', 'éteint']],
    ['fr', ['remettre', 'remets', 'remis']],
  ])('%s: %j share a stem', (language, forms) => {
    const stems = forms.map((form) => normalize(form, packOf(language))[0]!.stem);
    expect(new Set(stems).size, stems.join(' ')).toBe(1);
  });

  it.each([
    ['es', 'boca', 'mano'],
    ['es', 'inhalar', 'exhalar'],
    ['es', 'inhalador', 'inhalar'],
    ['es', 'secadora', 'secar'],
    ['es', 'de', 'doy'],
    ['es', 'cerca', 'cerrar'],
    ['es', 'pared', 'para'],
    ['es', 'piso', 'pisar'],
    ['fr', 'inspirer', 'expirer'],
    ['fr', 'inhaler', 'inhalateur'],
    ['fr', 'inhalation', 'inhalateur'],
    ['fr', 'bouche', 'bouchon'],
    ['fr', 'souffle', 'soupe'],
    ['fr', 'sec', 'secondes'],
  ])('%s: "%s" and "%s" keep stems of their own', (language, a, b) => {
    expect(stemOf(a, packOf(language))).not.toBe(stemOf(b, packOf(language)));
  });
});

describe('negation in the other languages', () => {
  it.each([
    ['es', 'no me enjuago la boca', 'boca', true],
    ['es', 'no tengo dolor de pecho', 'pecho', true],
    ['es', 'no la agito', 'agito', true],
    ['es', 'nunca la he cambiado', 'cambiado', true],
    ['es', 'no hace falta agitarlo', 'agitarlo', true],
    ['es', 'escupo para que no me duela', 'escupo', false],
    ['es', 'no más una vez lo aprieto', 'aprieto', false],
    ['es', 'no importa cómo me sienta lo uso', 'uso', false],
    ['es', 'si no me sirve llamo', 'llamo', false],
    ['es', 'nunca lavo la mascarilla', 'lavo', true],
    ['es', 'lo uso sin jabón', 'jabon', true],
    ['es', 'no me olvido de enjuagarme', 'enjuagarme', false],
    ['es', 'me olvido de enjuagarme', 'enjuagarme', true],
    ['es', 'no tengo prisa pero me enjuago la boca', 'enjuago', false],
    ['es', 'no lo lavo con agua y después lo seco', 'seco', false],
    ['es', 'no me enjuago nunca la boca', 'boca', true],
    ['es', 'me enjuago la boca, sin falta', 'boca', false],
    ['es', 'la manguera no se lava', 'lava', true],
    ['es', 'si el temblor no se quita le hablo a mi doctora', 'doctora', false],
    ['es', 'no sé, lavo las piezas', 'lavo', false],
    ['es', 'antes que nada lavo las manos', 'lavo', false],
    ['es', 'no agrego nada y lo tapo', 'tapo', false],
    ['es', 'no agrego nada y le pongo la tapa', 'tapa', false],
    ['fr', 'je ne me rince pas la bouche', 'bouche', true],
    ['fr', 'je me rince pas la bouche', 'bouche', true],
    ['fr', 'je ne lave jamais le masque', 'lave', true],
    ['fr', 'sans savon', 'savon', true],
    ['fr', "je n'oublie pas de rincer", 'rincer', false],
    ['fr', "j'oublie de rincer", 'rincer', true],
    ['fr', 'je ne suis pas pressé mais je rince la bouche', 'rince', false],
    ['fr', 'je rince la bouche sans faute', 'bouche', false],
    ['fr', "je ne l'avale pas je crache", 'crache', false],
    ['fr', "l'eau j'avale pas je crache", 'crache', false],
    ['fr', 'non je secoue bien avant', 'secoue', false],
    ['fr', 'si ça marche pas appelez une ambulance', 'appelez', false],
    ['fr', 'ça fait rien je continue', 'continue', false],
    ['fr', 'faut pas mettre le tuyau et la machine dedans', 'machine', true],
    ['fr', "si l'air me manque j'appelle le docteur", 'appelle', false],
    ['fr', 'faut pas mettre le tuyau et je lave la machine', 'machine', false],
    ['fr', 'je rince sans arrêt', 'rince', false],
  ] as const)('%s: in "%s" the word "%s" is denied: %s', (language, text, word, expected) => {
    expect(denied(text, word, language)).toBe(expected);
  });
});

describe('what a statement is worth in the other languages', () => {
  it('keeps the doctor among the words that count in French', () => {
    expect(words("j'appelle le docteur", 'fr')).toContain('docteur');
  });

  it.each([
    ['es', 'diez, no, perdón, cinco'],
    ['es', 'primero inhalo, mejor dicho, exhalo'],
    ['fr', 'dix, non pardon, cinq'],
    ['fr', "d'abord j'inspire, je veux dire, j'expire"],
  ])('%s: finds the repair in "%s"', (language, text) => {
    expect(standing(text, language).repairs.length).toBeGreaterThan(0);
  });

  it.each([
    ['es', '¿cuánto tiempo espero?', 'espero'],
    ['es', 'cuantas veces lo hago', 'veces'],
    ['fr', "combien de temps j'attends ?", 'attends'],
    ['fr', 'est-ce que je rince la bouche', 'rince'],
  ])('%s: "%s" asks', (language, text, word) => {
    const { tokens, question } = standing(text, language);
    expect(question[tokens.findIndex((token) => token.word === word)]).toBe(true);
  });

  it.each([
    ['es', 'espero un minuto, ¿verdad?', 'espero'],
    ['fr', "j'attends une minute, n'est-ce pas ?", 'attends'],
    ['fr', "je ferme les lèvres puis j'appuie", 'appuie'],
    ['fr', "et faut le rincer à l'eau", 'rincer'],
  ])('%s: "%s" asks nothing, or only for a nod', (language, text, word) => {
    const { tokens, question } = standing(text, language);
    expect(question[tokens.findIndex((token) => token.word === word)]).toBe(false);
  });

  it.each([
    ['es', 'antes yo lo lavaba con jabón, ahora uso agua', 'lavaba', 'agua'],
    ['fr', "avant je le lavais avec du savon, maintenant j'utilise l'eau", 'lavais', 'eau'],
    ['fr', 'avant je le montais, maintenant je laisse à deux', 'montais', 'laisse'],
  ])('%s: in "%s" the past ends', (language, text, then, today) => {
    const { tokens, past } = standing(text, language);
    expect(past[tokens.findIndex((token) => token.word === then)]).toBe(true);
    expect(past[tokens.findIndex((token) => token.word === today)]).toBe(false);
  });

  it.each([
    ['fr', 'au début je secoue bien', 'secoue'],
    ['fr', 'juste avant je vide mes poumons', 'vide'],
  ])('%s: "%s" tells what comes first, not what is over', (language, text, word) => {
    const { tokens, past } = standing(text, language);
    expect(past[tokens.findIndex((token) => token.word === word)]).toBe(false);
  });

  it('begins another case in French where an ambulance is named behind it', () => {
    const { tokens, cases } = standing(
      "si j'ai mal à la tête je le dis au docteur si je vire bleu le samu",
      'fr',
    );
    expect(cases[tokens.findLastIndex((token) => token.word === 'si')]).toBe(true);
  });

  it('asks in French with the infinitive behind "puis-je"', () => {
    const { tokens, question } = standing('puis-je rincer avec du lait', 'fr');
    expect(question[tokens.findIndex((token) => token.word === 'rincer')]).toBe(true);
  });

  it.each([
    ['es', 'mi vecina fuma cerca', 'fuma'],
    ['fr', 'ma voisine fume à côté', 'fume'],
  ])('%s: "%s" tells of somebody else', (language, text, word) => {
    const { tokens, other } = standing(text, language);
    expect(other[tokens.findIndex((token) => token.word === word)]).toBe(true);
  });
});

describe('dropAccents', () => {
  it('keeps what it is told to keep, and other scripts', () => {
    expect(dropAccents('veintidós', [])).toBe('veintidos');
    expect(dropAccents('cœur', [])).toBe('coeur');
    expect(dropAccents('sí', ['sí'])).toBe('sí');
    expect(dropAccents('한국', [])).toBe('한국');
  });

  it('takes any text and changes nothing more the second time', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const once = dropAccents(text, []);
        expect(dropAccents(once, [])).toBe(once);
      }),
    );
  });
});

describe('normalize in every language', () => {
  it('keeps offsets within the text', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary' }),
        fc.constantFrom(...Object.keys(languagePacks)),
        (text, language) => {
          for (const { start, end, word } of normalize(text, packOf(language))) {
            expect(word.length).toBeGreaterThan(0);
            expect(end).toBeGreaterThan(start);
            expect(end).toBeLessThanOrEqual(text.length);
          }
        },
      ),
    );
  });
});
