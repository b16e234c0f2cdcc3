import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { judgedIn, readCommon, readJudging, readTeaching } from '../../phrasebanks/read';

/*
 * How texts for the eye are set. French: a no-break space before : ; ? and !, and a typographic apostrophe (Lexique
 * des regles typographiques en usage a l'Imprimerie nationale; from memory). Spanish: both marks of a question and
 * an exclamation (Ortografia de la lengua espanola, 2010, III 3.4.9; from memory).
 */

type Placed = [path: string, text: string];

function leaves(value: unknown, path = ''): Placed[] {
  if (typeof value === 'string') return [[path, value]];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, `${path}/${key}`));
}

/** Whatever a learner may read, with its place. */
function shownIn(language: string): Placed[] {
  const { prompts, slots, paper, screens } = readCommon(language);
  return [
    ...leaves({ prompts, slots, paper, screens }, `common/${language}`),
    ...judgedIn(language).flatMap((module) => {
      const { title, steps, concepts, showMe, handout, answers } = readTeaching(module, language);
      return [
        ...leaves({ title, steps, concepts, showMe, handout }, module),
        ...leaves(
          answers.map(({ says }) => says),
          `${module}/answers`,
        ),
        ...leaves(readJudging(module, language).concepts, module).filter(([path]) => path.endsWith('/says')),
      ];
    }),
  ];
}

const allLike = (language: string, amiss: RegExp) => shownIn(language).filter(([, text]) => amiss.test(text));

describe('French texts', () => {
  it('let no line begin with a mark: the space before it does not break', () => {
    expect(allLike('fr', / [:;?!»]|« /)).toEqual([]);
    expect(allLike('fr', /[\p{L})}][:;?!](?!\d)/u)).toEqual([]);
  });

  it('have the apostrophe of print', () => expect(allLike('fr', /\p{L}'[\p{L}{]/u)).toEqual([]));

  it('say "vous"', () => expect(allLike('fr', /(?<![\p{L}-])(tu|te|toi|ton|ta|tes)(?!\p{L})/iu)).toEqual([]));
});

// One voice: "Je veux être sûre", "No estoy segura".
it('the voice speaks of itself as a woman', () => {
  expect(allLike('fr', /(?<!\p{L})(été|être|suis) (\p{L}+ )?(sûr|clair)(?!\p{L})/iu)).toEqual([]);
  expect(
    allLike('es', /(?<!\p{L})(estoy|fui|soy|quedé) (\p{L}+ )?(seguro|claro|solo|listo)(?!\p{L})/iu),
  ).toEqual([]);
});

describe('Spanish texts', () => {
  it('open every question and every call', () => {
    const count = (text: string, mark: string) => text.split(mark).length;
    const open = shownIn('es').filter(
      ([, text]) => count(text, '?') !== count(text, '¿') || count(text, '!') !== count(text, '¡'),
    );
    expect(open).toEqual([]);
  });

  it('say "usted"', () =>
    expect(allLike('es', /(?<!\p{L})(tú|tu|tus|te|ti|contigo)(?!\p{L})/iu)).toEqual([]));
});

// Told of somebody else ("agita", "secoue"), they would read as orders to a friend.
describe('what is to be shown with the hands', () => {
  const infinitives = {
    es: /^\p{L}+[aei]r(se|los?|las?)?[ ,]/u,
    fr: /^(Bien |Se |S’)?\p{L}+(er|ir|re)[ ,]/u,
  };
  const languages = readdirSync(new URL('../../phrasebanks/common/', import.meta.url)).map((file) =>
    file.replace('.json', ''),
  );

  it('is known how to say in every language but English', () =>
    expect(languages.sort()).toEqual(['en', ...Object.keys(infinitives)].sort()));

  it.each(Object.entries(infinitives))('addresses nobody, in %s', (language, infinitive) => {
    const points = judgedIn(language).flatMap((module) =>
      Object.values(readTeaching(module, language).showMe),
    );
    expect(points.length).toBeGreaterThan(20);
    expect(points.filter((point) => !infinitive.test(point))).toEqual([]);
  });
});
