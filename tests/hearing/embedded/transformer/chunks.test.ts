import { describe, expect, test } from 'vitest';
import { Chunks } from '../../../../src/hearing/embedded/transformer/chunks';

const seconds = (count: number, level = 0.1) => new Float32Array(count * 16_000).fill(level);
const lengths = (chunks: Chunks) => chunks.all().map((chunk) => chunk.length / 16_000);

describe('chunks of speech', () => {
  test('stay together over the pauses of a short answer', () => {
    const chunks = new Chunks();
    for (let i = 0; i < 3; i++) {
      chunks.take(seconds(2));
      chunks.pause();
    }
    expect(lengths(chunks)).toEqual([6]);
  });

  test('end at a pause once they are long enough', () => {
    const chunks = new Chunks();
    chunks.take(seconds(9));
    chunks.pause();
    chunks.take(seconds(2));
    expect(lengths(chunks)).toEqual([9, 2]);
  });

  test('are cut at the quietest place when nobody pauses, and nothing is lost', () => {
    const chunks = new Chunks();
    for (let second = 0; second < 40; second++) chunks.take(seconds(1, second % 15 === 14 ? 0.001 : 0.1));
    const all = lengths(chunks);
    expect(Math.max(...all)).toBeLessThanOrEqual(18);
    expect(all.reduce((sum, each) => sum + each, 0)).toBeCloseTo(40);
    expect(all[0]).toBeCloseTo(14, 1);
  });
});
