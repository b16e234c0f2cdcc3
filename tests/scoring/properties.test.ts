import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgedIn, readJudging } from '../../phrasebanks/read';
import { compileStep, type Finding, judge, type Label, languagePack } from '../../src/scoring';
import { corpus } from '../bench/corpus';

const en = languagePack('en')!;
const rank: Record<Label, number> = { misconception: 0, missed: 1, partial: 2, understood: 3 };
const banks = new Map(judgedIn('en').map((module) => [module, readJudging(module, 'en')]));
const rows = corpus('author');

const stepsOf = (module: string): string[][] => {
  const ids = Object.keys(banks.get(module)!.concepts);
  const prefixes = new Set(ids.map((id) => id.split('.').slice(0, 2).join('.')));
  return [...prefixes].map((prefix) => ids.filter((id) => id.startsWith(`${prefix}.`)));
};
const judged = (text: string, module: string, concepts: readonly string[], files = banks): Finding[] =>
  judge(text, compileStep(files.get(module)!, concepts, en), en);
const labelsOf = (text: string, module: string, concepts: readonly string[]): Label[] =>
  judged(text, module, concepts).map((finding) => finding.label);

/** Every labelled answer with one concept it was labelled for, and each mistake with that concept. */
const mistakes = rows.flatMap((row) =>
  Object.keys(row.labels).flatMap((concept) =>
    banks
      .get(row.module)!
      .concepts[concept]!.contradictions.map((item) => ({ row, concept, says: item.says })),
  ),
);

describe('judging', () => {
  it('raises no label for a mistake that is added', () => {
    const raised: string[] = [];
    for (const { row, concept, says } of mistakes) {
      const before = labelsOf(row.text, row.module, [concept])[0]!;
      const after = labelsOf(`${row.text} ${says}`, row.module, [concept])[0]!;
      if (rank[after] > rank[before]) raised.push(`${concept}: ${before} -> ${after}: ${row.id} + ${says}`);
    }
    expect(raised).toEqual([]);
  });

  it('changes no label for letter case, punctuation and fillers', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...rows.filter((row) => !row.text.includes('?'))),
        fc.constantFrom('um', 'uh', 'er', 'hmm', 'you know'),
        fc.constantFrom('.', ',', ';', ':', '!', ' ... ', ' - '),
        fc.array(fc.nat(), { maxLength: 4 }),
        fc.boolean(),
        (row, filler, mark, places, upper) => {
          const concepts = Object.keys(row.labels);
          const words = row.text.split(' ');
          for (const at of places) words.splice(at % (words.length + 1), 0, filler);
          const text = words
            .map((word, k) => (places.includes(k) ? word.replace(/[.,;:!]/g, '') + mark : word))
            .join(' ');
          expect(labelsOf(upper ? text.toUpperCase() : text, row.module, concepts)).toEqual(
            labelsOf(row.text, row.module, concepts),
          );
        },
      ),
      { numRuns: 1_000 },
    );
  });

  it('judges any text of 20,000 characters', () => {
    const steps = [...banks.keys()].flatMap((module) => stepsOf(module).map((ids) => ({ module, ids })));
    const unit = fc.oneof(
      {
        weight: 3,
        arbitrary: fc.constantFrom(...rows.flatMap((row) => row.text.split(' ')), ' ', '?', "n't"),
      },
      { weight: 1, arbitrary: fc.string({ unit: 'binary', minLength: 1, maxLength: 1 }) },
    );
    fc.assert(
      fc.property(
        fc.array(unit, { maxLength: 4_000, size: 'max' }),
        fc.constantFrom(' ', ''),
        fc.constantFrom(...steps),
        (pieces, glue, { module, ids }) => {
          const text = pieces.join(glue).slice(0, 20_000);
          for (const finding of judged(text, module, ids)) {
            expect(finding.confidence).toBeGreaterThanOrEqual(0);
            expect(finding.confidence).toBeLessThanOrEqual(1);
            expect(finding.reason).not.toBe('');
            for (const { start, end } of finding.evidence)
              expect(start >= 0 && start < end && end <= text.length).toBe(true);
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  it('says the same of an answer in whatever order modules and answers come', () => {
    const all = (files: typeof banks, order: readonly (typeof rows)[number][]): Map<string, Finding[]> =>
      new Map(order.map((row) => [row.id, judged(row.text, row.module, Object.keys(row.labels), files)]));
    const once = all(banks, rows);
    const again = all(banks, rows);
    const fresh = new Map([...banks.keys()].reverse().map((module) => [module, readJudging(module, 'en')]));
    const backwards = all(fresh, [...rows].reverse());
    for (const row of rows) {
      expect(again.get(row.id)).toEqual(once.get(row.id));
      expect(backwards.get(row.id)).toEqual(once.get(row.id));
    }
  });

  it('says the same of a concept alone and beside the others of its step', () => {
    for (const row of rows) {
      const together = labelsOf(row.text, row.module, Object.keys(row.labels));
      const alone = Object.keys(row.labels).map((id) => labelsOf(row.text, row.module, [id])[0]);
      expect(alone).toEqual(together);
    }
  });
});
