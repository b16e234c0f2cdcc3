import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compileLanguageModel } from '../../../../src/hearing/embedded/sphinx/language-model';

interface Arc {
  from: number;
  to: number;
  probability: number;
  word: string;
}

function parse(fsg: string): { states: number; arcs: Arc[] } {
  const arcs = [...fsg.matchAll(/^TRANSITION (\d+) (\d+) (\S+)(?: (\S+))?$/gm)].map(
    ([, from, to, probability, word = '']) => ({
      from: Number(from),
      to: Number(to),
      probability: Number(probability),
      word,
    }),
  );
  return { states: Number(/^NUM_STATES (\d+)$/m.exec(fsg)?.[1]), arcs };
}

const all = () => true;
const phrases = ['shake it well', 'shake it before each puff', 'I hold my breath'];
const compile = (options: Partial<Parameters<typeof compileLanguageModel>[1]> = {}) =>
  compileLanguageModel([{ phrases, weight: 1 }], { knows: all, ...options });

describe('the grammar', () => {
  const { fsg, words } = compile({ vocabulary: [['towel', 3]] });
  const { states, arcs } = parse(fsg);

  test('has a state for each word behind start, end and back-off', () => {
    expect(words).toEqual('before breath each hold i it my puff shake towel well'.split(' '));
    expect(states).toBe(words.length + 3);
    expect(fsg).toMatch(/START_STATE 0\nFINAL_STATE 1\n/);
  });

  test('lets every word be the last one', () => {
    for (let state = 3; state < states; state++)
      expect(arcs.some((arc) => arc.from === state && arc.to === 1 && arc.word === '')).toBe(true);
  });

  test('reaches every word from everywhere through the back-off', () => {
    for (let state = 3; state < states; state++)
      expect(arcs.some((arc) => arc.from === state && arc.to === 2 && arc.word === '')).toBe(true);
    const reached = arcs.filter((arc) => arc.from === 2).map((arc) => arc.word);
    expect(reached.sort()).toEqual(words);
  });

  test('has probabilities above 0 and up to 1', () => {
    for (const arc of arcs) {
      expect(arc.probability).toBeGreaterThan(0);
      expect(arc.probability).toBeLessThanOrEqual(1);
    }
  });

  test('makes what was said in the phrases likelier than what was not', () => {
    const state = (word: string) => 3 + words.indexOf(word);
    const chance = (from: string, to: string) =>
      arcs.find((arc) => arc.from === state(from) && arc.word === to)?.probability ?? 0;
    expect(chance('shake', 'it')).toBeGreaterThan(0.5);
    expect(chance('shake', 'towel')).toBe(0);
    expect(chance('it', 'well')).toBeGreaterThan(0.2);
  });
});

test('the probabilities that leave a word for words add up to 1, as Witten and Bell have it', () => {
  const { fsg, words } = compile();
  const { arcs } = parse(fsg);
  const backOff = arcs.filter((arc) => arc.from === 2);
  expect(backOff.reduce((sum, arc) => sum + arc.probability, 0)).toBeCloseTo(1, 3);
  // "shake" is said twice, always before "it": trust 2 / (2 + 1 kind).
  const shake = arcs.filter((arc) => arc.from === 3 + words.indexOf('shake'));
  expect(shake.find((arc) => arc.to === 2)?.probability).toBeCloseTo(1 / 3, 3);
  const unigram = backOff.find((arc) => arc.word === 'it')!.probability;
  expect(shake.find((arc) => arc.word === 'it')?.probability).toBeCloseTo(2 / 3 + unigram / 3, 3);
});

test('a heavier source counts for more', () => {
  const model = (weight: number) =>
    parse(
      compileLanguageModel(
        [
          { phrases: ['push down'], weight },
          { phrases: ['push in'], weight: 1 },
        ],
        { knows: all },
      ).fsg,
    ).arcs.filter((arc) => arc.word === 'down' && arc.from === 2)[0]!.probability;
  expect(model(5)).toBeGreaterThan(model(1));
});

test('words that cannot be pronounced are left out and reported, and nothing leads across the gap', () => {
  const { fsg, words, unknown } = compile({ knows: (word) => word !== 'before' });
  expect(unknown).toEqual(['before']);
  expect(words).not.toContain('before');
  const it = 3 + words.indexOf('it');
  expect(parse(fsg).arcs.some((arc) => arc.from === it && arc.word === 'each')).toBe(false);
});

test('without a single known word there is no model', () => {
  expect(() => compile({ knows: () => false })).toThrow('at least one phrase');
});

test('any phrases make a well-formed grammar', () => {
  fc.assert(
    fc.property(fc.array(fc.string({ maxLength: 30 }), { maxLength: 8 }), (texts) => {
      const { fsg } = compileLanguageModel([{ phrases: [...texts, 'yes'], weight: 1 }], { knows: all });
      const { states, arcs } = parse(fsg);
      expect(fsg.trimEnd().split('\n')).toHaveLength(arcs.length + 5);
      for (const arc of arcs) {
        expect(Math.max(arc.from, arc.to)).toBeLessThan(states);
        expect(arc.from).not.toBe(1);
        expect(arc.probability).toBeGreaterThan(0);
      }
    }),
  );
});
