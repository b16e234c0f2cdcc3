/**
 * Weights of a logistic regression, that of nothing first, by Newton's method with a little shrinkage. Throws when the
 * cases leave them open.
 */
export function fitted(cases: readonly { clues: readonly number[]; right: boolean }[]): number[] {
  const size = 1 + (cases[0]?.clues.length ?? 0);
  const rows = cases.map(({ clues, right }) => ({ x: [1, ...clues], y: Number(right) }));
  const weights = new Array<number>(size).fill(0);
  for (let round = 0; round < 30; round++) {
    const slope = weights.map((weight, i) => (i === 0 ? 0 : -SHRINK * weight));
    const bend = weights.map((_, i) => weights.map((_, j) => (i === j && i > 0 ? SHRINK : 0)));
    for (const { x, y } of rows) {
      const p = 1 / (1 + Math.exp(-x.reduce((sum, value, i) => sum + value * weights[i]!, 0)));
      for (let i = 0; i < size; i++) {
        slope[i]! += (y - p) * x[i]!;
        for (let j = 0; j < size; j++) bend[i]![j]! += p * (1 - p) * x[i]! * x[j]!;
      }
    }
    const change = solved(bend, slope);
    change.forEach((value, i) => {
      weights[i]! += value;
    });
    if (Math.max(...change.map(Math.abs)) < 1e-9) break;
  }
  return weights;
}

const SHRINK = 1e-3;

/** x of `matrix` x = `right`, by Gauss's elimination. */
function solved(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const size = rows.length;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let i = column; i < size; i++)
      if (Math.abs(rows[i]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = i;
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    const head = rows[column]!;
    if (Math.abs(head[column]!) < 1e-12) throw new Error('the cases do not tell the clues apart');
    for (let i = 0; i < size; i++) {
      if (i === column) continue;
      const factor = rows[i]![column]! / head[column]!;
      for (let j = column; j <= size; j++) rows[i]![j]! -= factor * head[j]!;
    }
  }
  return rows.map((row, i) => row[size]! / row[i]!);
}
