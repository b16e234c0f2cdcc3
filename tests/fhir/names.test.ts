import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type HumanName, namesAgree } from '../../src/fhir/names';

/* Names are made up of common given and family names; nobody in particular is meant. */

const ines: HumanName = { family: 'Marlow', given: ['Ines', 'Carla'] };

describe('the name of a patient and what staff entered agree', () => {
  it.each<[entered: string, name: HumanName]>([
    ['Ines Marlow', ines],
    ['ines marlow', ines],
    ['INES MARLOW', ines],
    ['Marlow, Ines', ines],
    ['Marlow Ines Carla', ines],
    ['Carla Marlow', ines],
    ['Mrs. Ines Marlow', ines],
    ['I. Marlow', ines],
    ['Ines M.', ines],
    ['I. M.', ines],
    ['I.M.', ines],
    ['IM', ines],
    ['M I', ines],
    ['I.C.M.', ines],
    ['ICM', ines],
    ['Íñes Marlow', ines],
    ['Jose Nunez', { family: 'Núñez', given: ['José'] }],
    ['José Núñez', { family: 'NUNEZ', given: ['JOSE'] }],
    ['Anna Mueller', { family: 'Müller', given: ['Anna'] }],
    ['Anna Muller', { family: 'Müller', given: ['Anna'] }],
    ['Anna Müller', { family: 'Mueller', given: ['Anna'] }],
    ['Bjorn Sorensen', { family: 'Sørensen', given: ['Bjørn'] }],
    ['Łukasz Żak', { family: 'Zak', given: ['Lukasz'] }],
    ['Jean-Luc Petit', { family: 'Petit', given: ['Jean-Luc'] }],
    ['Jean Luc Petit', { family: 'Petit', given: ['Jean-Luc'] }],
    ['Jean Petit', { family: 'Petit', given: ['Jean-Luc'] }],
    ['Jeanluc Petit', { family: 'Petit', given: ['Jean-Luc'] }],
    ['J.-L. Petit', { family: 'Petit', given: ['Jean-Luc'] }],
    ['Annemarie Cole', { family: 'Cole', given: ['Anne', 'Marie'] }],
    ['Gabriel Garcia', { family: 'García Márquez', given: ['Gabriel'] }],
    ['Gabriel García Márquez', { family: 'García Márquez', given: ['Gabriel'] }],
    ['G. G. M.', { family: 'García Márquez', given: ['Gabriel'] }],
    ['GM', { family: 'García Márquez', given: ['Gabriel'] }],
    ['Rosa Smith-Vega', { family: 'Smith Vega', given: ['Rosa'] }],
    ['Rosa Vega', { family: 'Smith-Vega', given: ['Rosa'] }],
    ['Jan van Dijk', { family: 'van Dijk', given: ['Jan'] }],
    ['J. v. D.', { family: 'van Dijk', given: ['Jan'] }],
    ['Jan Dijk', { family: 'van Dijk', given: ['Jan'] }],
    ["Nora O'Brien", { family: 'O’Brien', given: ['Nora'] }],
    ['Nora OBrien', { family: "O'Brien", given: ['Nora'] }],
    ['Ewan Mc Leod', { family: 'McLeod', given: ['Ewan'] }],
    ['Ivy Long', { text: 'Ivy Long' }],
    ['Long Ivy', { text: 'Ivy Long' }],
    ['I. L.', { text: 'Mrs Ivy Long' }],
    ['Ivy Long', { text: 'Long, Ivy' }],
    ['Tom Cole Jr.', { family: 'Cole', given: ['Tom'], suffix: ['Jr'] }],
    ['Tom Cole', { family: 'Cole', given: ['Tom'], suffix: ['Sr'] }],
    ['Иван Петров', { family: 'Петров', given: ['Иван'] }],
    ['И. П.', { family: 'Петров', given: ['Иван'] }],
    ['山田太郎', { family: '山田', given: ['太郎'] }],
    ['太郎 山田', { family: '山田', given: ['太郎'] }],
    ['김 민수', { family: '김', given: ['민수'] }],
    ['محمد حسن', { family: 'حسن', given: ['محمد'] }],
  ])('%s', (entered, name) => {
    expect(namesAgree(entered, [name])).toBe(true);
  });

  it('under any of the names that the record knows', () => {
    expect(namesAgree('Ines Vance', [{ family: 'Vance', given: ['Ines'] }, ines])).toBe(true);
    expect(namesAgree('Ines Marlow', [{ text: '' }, ines])).toBe(true);
  });
});

describe('they do not agree, or it cannot be told, so that a person is asked', () => {
  it.each<[entered: string, name: HumanName]>([
    ['', ines],
    ['  . - ', ines],
    ['Ines', ines],
    ['Marlow', ines],
    ['I.', ines],
    ['M', ines],
    ['Ines Carla', ines],
    ['C. M.', ines],
    ['I. C.', ines],
    ['I. B. M.', ines],
    ['im', ines],
    ['Ines Barlow', ines],
    ['Inez Marlow', ines],
    ['Ines Marlow Vance', ines],
    ['Tobin Marlow', ines],
    ['T. Marlow', ines],
    ['Ines Ines', ines],
    ['Marlow Marlow', ines],
    ['M. M.', ines],
    ['Mrs Marlow', ines],
    ['patient', ines],
    ['bed 12', ines],
    ['Liz Cole', { family: 'Cole', given: ['Elizabeth'] }],
    ['Jan van', { family: 'van Dijk', given: ['Jan'] }],
    ['J. v.', { family: 'van Dijk', given: ['Jan'] }],
    ['Jan van Berg', { family: 'van Dijk', given: ['Jan'] }],
    ['Tom Cole Jr', { family: 'Cole', given: ['Tom'], suffix: ['Sr'] }],
    ['Tom Cole Jr', { family: 'Cole', given: ['Tom'] }],
    ['Tom Cole III', { text: 'Tom Cole II' }],
    ['Suharto', { family: 'Suharto' }],
    ['Suharto', { text: 'Suharto' }],
    ['Ivy Long', {}],
    ['Ivy Long', { given: ['Ivy'] }],
    ['Ivy Long', { family: '  ', given: [''] }],
    // A vowel sign is no accent.
    ['राम देव', { family: 'देव', given: ['रमा'] }],
    // One sign is a whole name, not the initial of one.
    ['王 明', { family: '王', given: ['明華'] }],
    ['م ح', { family: 'حسن', given: ['محمد'] }],
  ])('%s', (entered, name) => {
    expect(namesAgree(entered, [name])).toBe(false);
  });

  it('a record without any name', () => {
    expect(namesAgree('Ines Marlow', [])).toBe(false);
  });
});

describe('generated names', () => {
  // Neither titles, nor particles, nor generations: those have cases of their own above.
  const special =
    /^(Mrs?|Ms|Miss|Mx|Dr|Prof|Herr|Frau|Mme|Srt?a|Jr|Sr|Iii?|Iv|Junior|Senior|Bint?|D[aeio]s?|De[lnr]|Della|E?l[aeo]s?|San|St|Te[nr]|V[ao]n|Al|Ap|Zu)$/i;
  const word = fc.stringMatching(/^[A-Z][a-z]{2,8}$/).filter((one) => !special.test(one));
  const person = fc
    .record({
      given: fc.array(word, { minLength: 1, maxLength: 3 }),
      family: fc.array(word, { minLength: 1, maxLength: 2 }),
    })
    .map(({ given, family }) => ({ given, family: family.join(' ') }));
  const accents: Record<string, string> = { a: 'á', e: 'ê', o: 'ò', u: 'ú', n: 'ñ', c: 'ç' };

  it('agree with themselves however they are written', () => {
    fc.assert(
      fc.property(person, fc.constantFrom(0, 1, 2, 3, 4, 5), fc.boolean(), (name, way, accented) => {
        const first = name.given[0] ?? '';
        const initial = (text: string) => `${text[0]}.`;
        const written = [
          `${name.given.join(' ')} ${name.family}`,
          `${name.family}, ${first}`,
          `${first} ${name.family}`.toUpperCase(),
          `${initial(first)} ${name.family.replace(' ', '-')}`,
          `${initial(first)}${name.family.split(' ').map(initial).join('')}`,
          `${first} ${initial(name.family)}`,
        ][way]!;
        const entered = accented
          ? written.replace(/[aeounc]/g, (letter) => accents[letter] ?? letter)
          : written;
        expect(namesAgree(entered, [name])).toBe(true);
      }),
    );
  });

  it('never agree with somebody who shares neither name nor initials', () => {
    const names = (letters: string) =>
      fc.array(fc.stringMatching(new RegExp(`^[${letters}][a-z]{3,8}$`)), { minLength: 2, maxLength: 3 });
    fc.assert(
      fc.property(names('A-L'), names('N-Z'), fc.boolean(), (mine, theirs, short) => {
        const entered = short ? mine.map((each) => `${each[0]}.`).join(' ') : mine.join(' ');
        const name = { given: theirs.slice(0, -1), family: theirs.at(-1)! };
        expect(namesAgree(entered, [name])).toBe(false);
        expect(namesAgree(entered, [{ text: theirs.join(' ') }])).toBe(false);
      }),
    );
  });

  it('never agree when one letter of the family name is another', () => {
    fc.assert(
      fc.property(person, fc.nat(), (name, at) => {
        const place = at % name.family.length;
        if (name.family[place] === ' ') return;
        const other = name.family[place]?.toLowerCase() === 'q' ? 'x' : 'q';
        const wrong = name.family.slice(0, place) + other + name.family.slice(place + 1);
        // Of two words of a family name the other one would be enough, but nothing else may be entered.
        expect(namesAgree(`${name.given[0]} ${wrong}`, [name])).toBe(false);
      }),
    );
  });
});
