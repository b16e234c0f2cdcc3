import { describe, expect, test } from 'vitest';
import { tokens } from '../../../../src/hearing/embedded/tokens';
import { read } from '../../../../src/hearing/embedded/transformer/beam';
import { END, type Listening } from '../../../../src/hearing/embedded/transformer/model';
import { Prior } from '../../../../src/hearing/embedded/transformer/prior';

const pieces = [undefined, undefined, undefined, ' the', ' space', 'r', ' spade', '.', ' 1', '0', ' puffs'];
const id = (piece: string) => pieces.indexOf(piece);

/** A model that answers by the text so far. */
function played(say: (text: string) => Record<string, number>): Listening {
  let texts: string[] = [''];
  return {
    async extend(parents, next) {
      texts = next.map((token, i) => (texts[parents[i]!] ?? '') + (pieces[token] ?? ''));
      return texts.map((text) => {
        const row = Object.entries(say(text)).map(([piece, probability]) => ({
          token: piece === 'END' ? END : id(piece),
          log: Math.log(probability),
        }));
        return row.sort((a, b) => b.log - a.log);
      });
    },
  };
}

const rushed = () =>
  played((text) => {
    if (text === '') return { ' the': 1 };
    if (text === ' the') return { ' spade': 0.55, ' space': 0.45 };
    if (text === ' the space') return { r: 0.97, END: 0.03 };
    return { END: 1 };
  });
const options = { pieces, tokens, most: 20 };
const priorOf = (phrases: string[]) => new Prior([{ phrases: phrases.map(tokens), weight: 1 }]);

describe('a reading', () => {
  test('without a prior is the likeliest text of the model', async () => {
    expect((await read(rushed(), options)).text).toBe('the spade');
  });

  test('prefers words that are likelier here than at large', async () => {
    const prior = priorOf(['the spacer', 'hold the spacer']);
    const atLarge = priorOf(['the', 'spade', 'spacer', 'hold']);
    expect((await read(rushed(), { ...options, prior, atLarge })).text).toBe('the spacer');
    expect((await read(rushed(), { ...options, prior: atLarge, atLarge })).text).toBe('the spade');
  });

  test('weighs a figure as the words it is read as', async () => {
    const model = () =>
      played((text) => {
        if (text === '') return { ' 1': 0.6, ' the': 0.4 };
        if (text === ' 1') return { '0': 0.6, ' puffs': 0.4 };
        if (text === ' 10') return { ' puffs': 1 };
        return { END: 1 };
      });
    const atLarge = priorOf(['one', 'ten', 'puffs', 'the']);
    expect(
      (await read(model(), { ...options, prior: priorOf(['one puffs']), atLarge, weight: 2 })).text,
    ).toBe('1 puffs');
    expect(
      (await read(model(), { ...options, prior: priorOf(['ten puffs']), atLarge, weight: 2 })).text,
    ).toBe('10 puffs');
  });

  test('has each letter with the probability that the model alone gave it', async () => {
    const { tokens: read_ } = await read(rushed(), options);
    expect(read_.map(({ piece }) => piece)).toEqual([' the', ' spade']);
    expect(Math.exp(read_[1]!.log)).toBeCloseTo(0.55, 5);
  });

  test('stops where the model says the same again and again', async () => {
    const stuck = played(() => ({ ' 1': 0.9, END: 0.1 }));
    const { tokens: said } = await read(stuck, { ...options, most: 200 });
    expect(said.length).toBeLessThan(5);
  });

  test('of nothing is empty', async () => {
    expect(
      (
        await read(
          played(() => ({ END: 1 })),
          options,
        )
      ).text,
    ).toBe('');
  });
});
