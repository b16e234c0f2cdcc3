import fc from 'fast-check';
import { expect, test } from 'vitest';
import { scoreLine } from '../../src/commands/score';
import { mutatedFile, mutatedRuns } from '../mutated';

const lines = [
  { id: 'a', module: 'inhaler-spacer', step: 'puff', language: 'en', text: 'I press it once' },
  {
    id: 7,
    text: 'I feed the cat twice',
    concepts: [{ id: 'cat', says: 'Feed the cat twice.', accept: ['the cat gets food twice'] }],
  },
];

test.each(lines)('a line to be scored that was spoilt is answered, or told what is amiss (%#)', (good) => {
  let bad = 0;
  fc.assert(
    fc.property(mutatedFile(good), fc.nat(9_999), (text, number) => {
      const result = scoreLine(text, number + 1);
      if (!result) {
        expect(text.replace(/^\uFEFF/, '').trim()).toBe('');
        return;
      }
      const output = JSON.parse(result.output);
      if (result.good) expect(Object.keys(output.findings).length).toBeGreaterThan(0);
      else {
        bad += 1;
        expect(output.error).toMatch(new RegExp(`^line ${number + 1}: \\S`));
        expect(output.error).not.toMatch(/undefined|\[object|Cannot read/);
      }
    }),
    mutatedRuns(500),
  );
  expect(bad).toBeGreaterThan(100);
});
