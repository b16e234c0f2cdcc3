/** How a hypothesis differs from its reference. */
export interface WordErrors {
  hits: number;
  substitutions: number;
  deletions: number;
  insertions: number;
  /** Words of the reference. */
  words: number;
}

/**
 * Aligns two lists of words with the least number of edits and counts them. Of equally short alignments the
 * one with the most hits is counted.
 */
export function wordErrors(reference: readonly string[], hypothesis: readonly string[]): WordErrors {
  const rows = reference.length + 1;
  const columns = hypothesis.length + 1;
  type Cell = { edits: number; hits: number; step: 'hit' | 'sub' | 'del' | 'ins' | 'start' };
  const table: Cell[][] = Array.from({ length: rows }, () => []);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      if (r === 0 && c === 0) {
        table[r]!.push({ edits: 0, hits: 0, step: 'start' });
        continue;
      }
      const options: Cell[] = [];
      if (r > 0 && c > 0) {
        const from = table[r - 1]![c - 1]!;
        const same = reference[r - 1] === hypothesis[c - 1];
        options.push({
          edits: from.edits + (same ? 0 : 1),
          hits: from.hits + (same ? 1 : 0),
          step: same ? 'hit' : 'sub',
        });
      }
      if (r > 0) {
        const from = table[r - 1]![c]!;
        options.push({ edits: from.edits + 1, hits: from.hits, step: 'del' });
      }
      if (c > 0) {
        const from = table[r]![c - 1]!;
        options.push({ edits: from.edits + 1, hits: from.hits, step: 'ins' });
      }
      options.sort((a, b) => a.edits - b.edits || b.hits - a.hits);
      table[r]!.push(options[0]!);
    }
  }

  const count = { hit: 0, sub: 0, del: 0, ins: 0 };
  let r = rows - 1;
  let c = columns - 1;
  while (r > 0 || c > 0) {
    const step = table[r]![c]!.step;
    if (step === 'start') break;
    count[step]++;
    if (step !== 'ins') r--;
    if (step !== 'del') c--;
  }
  return {
    hits: count.hit,
    substitutions: count.sub,
    deletions: count.del,
    insertions: count.ins,
    words: reference.length,
  };
}

/** Word error rate, (S + D + I) / N; may pass 1. Of an empty reference: 0 when nothing was heard, else 1. */
export function wordErrorRate(errors: WordErrors): number {
  const wrong = errors.substitutions + errors.deletions + errors.insertions;
  return errors.words === 0 ? Math.min(1, wrong) : wrong / errors.words;
}

/** Counts of several utterances together. */
export function addErrors(all: readonly WordErrors[]): WordErrors {
  const total = { hits: 0, substitutions: 0, deletions: 0, insertions: 0, words: 0 };
  for (const one of all) {
    total.hits += one.hits;
    total.substitutions += one.substitutions;
    total.deletions += one.deletions;
    total.insertions += one.insertions;
    total.words += one.words;
  }
  return total;
}
