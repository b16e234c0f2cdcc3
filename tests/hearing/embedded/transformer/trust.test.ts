import { describe, expect, test } from 'vitest';
import { turnTrust, wordsOf, wordTrust } from '../../../../src/hearing/embedded/transformer/trust';

const sure = Math.log(0.99);
const unsure = Math.log(0.1);
const none = () => 0;
/** A word of pieces this likely, where nothing else was likely. */
const heard = (word: string, ...logs: number[]) => ({ word, logs, rivals: logs.map(() => -9), odds: 0 });

describe('words of a reading', () => {
  test('are put together from their pieces, without what stands between them', () => {
    const read = [' Rin', 'se', ',', " don't", ' 1', '0', '-', 'x', '.'].map((piece) => ({
      piece,
      log: -1,
      rival: -2,
    }));
    const words = wordsOf(read, none);
    expect(words.map(({ word }) => word)).toEqual(['Rinse', "don't", '10', 'x']);
    expect(words[0]!.logs).toEqual([-1, -1]);
    expect(words[0]!.rivals).toEqual([-2, -2]);
  });

  test('are weighed after the word before them, and anew after the end of a sentence', () => {
    const read = [' Rin', 'se', ' it', '.', ' Sh', 'ake', '-', 'it'].map((piece) => ({
      piece,
      log: -1,
      rival: -2,
    }));
    const pairs: string[] = [];
    const words = wordsOf(read, (before, word) => pairs.push(`${before}>${word}`));
    expect(pairs).toEqual(['>Rinse', 'Rinse>it', '>Shake', 'Shake>it']);
    expect(words.map(({ odds }) => odds)).toEqual([1, 2, 3, 4]);
  });
});

describe('trust', () => {
  test('in a word falls with its weakest piece', () => {
    const [good, bad] = wordTrust([heard('spacer', sure, sure), heard('spader', sure, unsure)]);
    expect(good!.confidence).toBeGreaterThan(bad!.confidence);
  });

  test('in a word rises when the step speaks of it', () => {
    const word = heard('spacer', unsure);
    const of = (odds: number) => wordTrust([{ ...word, odds }])[0]!.confidence;
    expect(of(4)).toBeGreaterThan(of(0));
    expect(of(0)).toBeGreaterThan(of(-4));
  });

  test('in a turn is that it can be judged: high when all was clear, low when nothing was', () => {
    const turn = (log: number) => turnTrust(Array.from({ length: 8 }, (_, i) => heard(`w${i}`, log)));
    expect(turn(sure)).toBeGreaterThan(0.9);
    expect(turn(unsure)).toBeLessThan(0.3);
    expect(turnTrust([])).toBe(0);
  });
});
