import { describe, expect, it } from 'vitest';
import { measure, together } from '../bench/quantities';
import { dataIsThere, share } from '../bench/quantities/cases';
import { skipped } from '../skipped';

// Recognizers-Text, parsigs and dose_instruction_parser (all MIT), read where they lie beside the project.
describe('quantities of other people', () => {
  if (!dataIsThere()) {
    it.skip(`most are right${skipped('../shared/datasets/numbers is not there')}`, () => {});
    return;
  }
  const { groups } = measure();
  it.each(groups)('$name: at least $least of what is in scope is right', ({ least, outcomes }) => {
    const sum = together(outcomes);
    expect(sum.inScope).toBeGreaterThan(20);
    expect(share(sum)).toBeGreaterThanOrEqual(least);
  });
  // A high share of all must not hide a kind that is not read.
  it.each(groups.flatMap(({ least, outcomes }) => outcomes.map((outcome) => ({ least, ...outcome }))))(
    '$set: at least $least of what is in scope is right',
    ({ least, ...outcome }) => {
      expect(share(outcome)).toBeGreaterThanOrEqual(least);
    },
  );
  it('leaves out next to nothing of the durations and the dose sentences', () => {
    const mostly = groups
      .flatMap(({ outcomes }) => outcomes)
      .filter(({ set }) => /Duration|parsigs/.test(set));
    expect(mostly.length).toBe(7);
    for (const { cases, inScope } of mostly) expect(inScope / cases).toBeGreaterThan(0.95);
  });
});
