import { expect, test } from 'vitest';
import { join } from '../../../src/hearing/audio/join';

test('pieces come one after the other, and none is nothing', () => {
  expect([...join(Float32Array.of(1, 2), new Float32Array(0), Float32Array.of(3))]).toEqual([1, 2, 3]);
  expect(join()).toHaveLength(0);
});
