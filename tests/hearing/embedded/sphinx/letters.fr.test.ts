import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { french } from '../../../../src/hearing/embedded/sphinx/french';
import { pronounceFrench } from '../../../../src/hearing/embedded/sphinx/letters.fr';
import { wordErrorRate, wordErrors } from '../../../bench/wer';

const folder = dirname(createRequire(import.meta.url).resolve('soundswallower'));
/** The dictionary of the model: all pronunciations of each word. */
const dictionary = new Map<string, string[]>();
for (const line of readFileSync(join(folder, 'model/fr-fr/dict.txt'), 'utf8').split('\n')) {
  const at = line.indexOf(' ');
  if (at < 0) continue;
  const word = line.slice(0, at).replace(/\(\d+\)$/, '');
  dictionary.set(word, [...(dictionary.get(word) ?? []), line.slice(at + 1).trim()]);
}
const without = (word: string) => (other: string) =>
  other === word ? undefined : dictionary.get(other)?.[0];
const read = (word: string) => pronounceFrench(word, without(word));

test('words of the trade that the dictionary lacks are read as they are said', () => {
  // Reviewed by hand, in the phones of the model.
  const said: Record<string, string> = {
    inhalateur: 'ii nn aa ll aa tt oe rr',
    nébuliseur: 'nn ai bb uu ll ii zz oe rr',
    embout: 'an bb ou',
    secouez: 'ss ee kk ou ei',
    rince: 'rr in ss',
    inspirez: 'in ss pp ii rr ei',
    soufflez: 'ss ou ff ll ei',
    appuyez: 'aa pp uy ii yy ei',
    éteignez: 'ai tt ai gn ei',
    assieds: 'aa ss yy ai',
    oxymètre: 'oo kk ss ii mm ai tt rr',
    tubulure: 'tt uu bb uu ll uu rr',
    savonneuse: 'ss aa vv oo nn eu zz',
    vaseline: 'vv aa zz ll ii nn',
    puff: 'pp oe ff',
    vingts: 'vv in',
    cortisone: 'kk oo rr tt ii zz oo nn',
    ipratropium: 'ii pp rr aa tt rr oo pp yy oo mm',
    tiotropium: 'tt yy oo tt rr oo pp yy oo mm',
    terbutaline: 'tt ai rr bb uu tt aa ll ii nn',
    fluticasone: 'ff ll uu tt ii kk aa zz oo nn',
    budésonide: 'bb uu dd ai zz oo nn ii dd',
    béclométasone: 'bb ai kk ll oo mm ai tt aa zz oo nn',
    formotérol: 'ff oo rr mm oo tt ai rr oo ll',
    salmétérol: 'ss aa ll mm ai tt ai rr oo ll',
    prednisone: 'pp rr ai dd nn ii zz oo nn',
    montélukast: 'mm on tt ai ll uu kk aa ss tt',
    paracétamol: 'pp aa rr aa ss ai tt aa mm oo ll',
  };
  for (const [word, phones] of Object.entries(said)) expect([word, read(word)[0]]).toEqual([word, phones]);
});

test('verbs in -ent are told from other words by their other forms', () => {
  expect(read('trempent')[0]).toBe('tt rr an pp');
  expect(read('bleuissent')[0]).toMatch(/ss$/);
  expect(read('médicament')[0]).toMatch(/mm an$/);
  expect(read('glougloutent')).toContain('gg ll ou gg ll ou tt');
});

test('words of the dictionary are mostly read as it has them', () => {
  const words = [...dictionary.keys()].filter(
    (word, i) => i % 20 === 0 && /^[a-zàâäçéèêëîïôöùûü]{4,}$/.test(word),
  );
  let exact = 0;
  let wrong = 0;
  let phones = 0;
  for (const word of words) {
    const mine = read(word);
    const theirs = dictionary.get(word)!;
    if (theirs.some((each) => mine.includes(each))) exact++;
    const nearest = Math.min(
      ...mine.flatMap((one) =>
        theirs.map((other) => wordErrorRate(wordErrors(other.split(' '), one.split(' ')))),
      ),
    );
    wrong += nearest * theirs[0]!.split(' ').length;
    phones += theirs[0]!.split(' ').length;
  }
  expect(words.length).toBeGreaterThan(2500);
  expect(exact / words.length).toBeGreaterThan(0.79);
  expect(wrong / phones).toBeLessThan(0.07);
});

test('an unknown word gets phones of the model only, what has no letters is left alone', () => {
  for (const word of ['inhalateur', 'chlorhexidine', 'qwt', 'xyzzy', 'œdème', "presqu'île", 'aqueux'])
    for (const phones of pronounceFrench(word, () => undefined))
      for (const phone of phones.split(' ')) expect(french.phones, word).toContain(phone);
  expect(pronounceFrench('42', () => undefined)).toEqual([]);
  expect(pronounceFrench('吸入器', () => undefined)).toEqual([]);
});
