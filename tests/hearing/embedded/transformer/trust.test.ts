import { describe, expect, test } from 'vitest';
import { turnTrust, wordsOf, wordTrust } from '../../../../src/hearing/embedded/transformer/trust';

const sure = Math.log(0.99);
const unsure = Math.log(0.1);

describe('words of a reading', () => {
  test('are put together from their pieces, without what stands between them', () => {
    const read = [' Rin', 'se', ',', " don't", ' 1', '0', '-', 'x', '.'].map((piece) => ({ piece, log: -1 }));
    expect(wordsOf(read).map(({ word }) => word)).toEqual(['Rinse', "don't", '10', 'x']);
    expect(wordsOf(read)[0]!.logs).toEqual([-1, -1]);
  });
});

describe('trust', () => {
  test('in a word falls with its weakest piece', () => {
    const [good, bad] = wordTrust([
      { word: 'spacer', logs: [sure, sure] },
      { word: 'spader', logs: [sure, unsure] },
    ]);
    expect(good!.confidence).toBeGreaterThan(bad!.confidence);
  });

  test('in a turn is that it can be judged: high when all was clear, low when nothing was', () => {
    const turn = (log: number) =>
      turnTrust(Array.from({ length: 8 }, (_, i) => ({ word: `w${i}`, logs: [log] })));
    expect(turn(sure)).toBeGreaterThan(0.9);
    expect(turn(unsure)).toBeLessThan(0.3);
    expect(turnTrust([])).toBe(0);
  });
});
