import { expect, it } from 'vitest';
import type { SentenceGroup } from '../../../machines/sentences';
import type { ListedSentence, SentenceState } from '../../../src/app/recordings';
import { chosen, fits, inParts, nextOpen } from '../../../src/app/staff/recordings/choice';

const sentence = (
  key: string,
  state: SentenceState = 'voice',
  group: SentenceGroup = { kind: 'around' },
): ListedSentence => ({
  key,
  state,
  group,
  role: 'prompt',
  place: `common/${key}`,
  text: key,
  slots: [],
  clip: null,
});
const keys = (sentences: readonly ListedSentence[]) => sentences.map(({ key }) => key);

it('counts what is out of date among what has no recording', () => {
  expect((['voice', 'recorded', 'outdated'] as const).map((state) => fits('open', state))).toEqual([
    true,
    false,
    true,
  ]);
});

it('shows what fits both choices, and the sentence in hand whatever became of it', () => {
  const all = [
    sentence('a', 'recorded'),
    sentence('b'),
    sentence('c', 'voice', { kind: 'step', title: 'Shake' }),
    sentence('d', 'recorded'),
  ];
  expect(keys(chosen(all, { filter: 'all', part: '', key: '' }))).toEqual(['a', 'b', 'c', 'd']);
  expect(keys(chosen(all, { filter: 'open', part: '', key: 'd' }))).toEqual(['b', 'c', 'd']);
  expect(keys(chosen(all, { filter: 'open', part: 'Shake', key: '' }))).toEqual(['c']);
});

it('goes on to the next without a recording, and from the last to the first', () => {
  const all = [
    sentence('a'),
    sentence('b', 'recorded'),
    sentence('c', 'outdated'),
    sentence('d', 'recorded'),
  ];
  expect(nextOpen(all, 'a')?.key).toBe('c');
  expect(nextOpen(all, 'c')?.key).toBe('a');
  expect(nextOpen(all, undefined)?.key).toBe('a');
  expect(nextOpen([sentence('a'), sentence('b', 'recorded')], 'a')).toBeUndefined();
  expect(nextOpen([], 'a')).toBeUndefined();
});

it('puts neighbours under the name of their part, which is English but for the titles of steps', () => {
  const step = { kind: 'step', title: 'Secouer' } as const;
  const parts = inParts([sentence('a'), sentence('b'), sentence('c', 'voice', step)]);
  expect(parts.map(({ name, english, sentences }) => [name, english, keys(sentences)])).toEqual([
    ['Around every lesson', true, ['a', 'b']],
    ['Secouer', false, ['c']],
  ]);
});
