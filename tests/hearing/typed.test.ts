import { expect, test } from 'vitest';
import { heardByTyping } from '../../src/hearing/typed';

test('typed words are taken as they are', () => {
  expect(heardByTyping('  Shake it first. ')).toEqual({
    text: 'Shake it first.',
    confidence: 1,
    alternatives: [],
    engine: 'typed',
  });
});
