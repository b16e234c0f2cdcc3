import { expect, test } from 'vitest';
import { narrowed } from '../../phrasebanks/narrow';
import { module } from '../records/fixtures';

test('a module is narrowed to the concepts that are asked, and the steps that hold them', () => {
  const to = { points: [{ concept: 'lamp.care.call' }, { concept: 'no.such' }], showMe: ['seal', 'no-such'] };
  expect(narrowed(module, to)).toEqual({
    ...module,
    steps: [{ ...module.steps[1], concepts: [{ id: 'lamp.care.call', weight: 'critical' }] }],
    showMe: ['seal'],
  });
});

test('without a narrowing a module is as it was', () => {
  expect(narrowed(module, undefined)).toBe(module);
});
