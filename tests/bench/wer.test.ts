import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addErrors, wordErrorRate, wordErrors } from './wer';

const split = (text: string) => text.split(' ').filter(Boolean);
const errors = (reference: string, hypothesis: string) => wordErrors(split(reference), split(hypothesis));
const edits = ({ substitutions, deletions, insertions }: ReturnType<typeof errors>) =>
  substitutions + deletions + insertions;

test('agrees with the usage examples of the jiwer documentation', () => {
  // jitsi.github.io/jiwer/usage: "hello world" / "hello duck", and the pair of sentences after it.
  const first = errors('hello world', 'hello duck');
  expect(first).toEqual({ hits: 1, substitutions: 1, deletions: 0, insertions: 0, words: 2 });
  expect(wordErrorRate(first)).toBe(0.5);
  const second = errors('i like monthy python', 'i like python');
  expect(second).toEqual({ hits: 3, substitutions: 0, deletions: 1, insertions: 0, words: 4 });
  expect(wordErrorRate(addErrors([first, second]))).toBeCloseTo(2 / 6);
});

test('agrees with the worked example of the wersim manual: three mistakes in ten words', () => {
  // rdrr.io, jenswaeckerle/wersim, wer(): one substitution, one deletion, one insertion, rate 0.3.
  const found = errors(
    'The meadow is very nice and the sun shines bright',
    'The meadoww very nice and the two sun shines bright',
  );
  expect(found).toMatchObject({ substitutions: 1, deletions: 1, insertions: 1, words: 10 });
  expect(wordErrorRate(found)).toBeCloseTo(0.3);
});

test('agrees with the examples of asr.align.calculate_wer', () => {
  // pythonhosted.org/asr/align.html
  expect(edits(errors('who is there', 'is there'))).toBe(1);
  expect(edits(errors('who is there', ''))).toBe(3);
  expect(edits(errors('', 'who is there'))).toBe(3);
});

test('the rate of an empty reference is 0 or 1, never a division by nothing', () => {
  expect(wordErrorRate(errors('', ''))).toBe(0);
  expect(wordErrorRate(errors('', 'one two'))).toBe(1);
});

test('hits, substitutions and deletions add up to the reference, hits, substitutions and insertions to the hypothesis', () => {
  const words = fc.array(fc.constantFrom('a', 'b', 'c'), { maxLength: 12 });
  fc.assert(
    fc.property(words, words, (reference, hypothesis) => {
      const found = wordErrors(reference, hypothesis);
      expect(found.hits + found.substitutions + found.deletions).toBe(reference.length);
      expect(found.hits + found.substitutions + found.insertions).toBe(hypothesis.length);
      expect(edits(found)).toBe(edits(wordErrors(hypothesis, reference)));
    }),
  );
});
