import fc from 'fast-check';

/** Any text, and any row of these words. */
export const anyText = (words: readonly string[]): fc.Arbitrary<string> =>
  fc.oneof(
    fc.string({ unit: 'binary' }),
    fc.array(fc.constantFrom(...words), { maxLength: 30 }).map((row) => row.join(' ')),
  );
