import { type Label, labels, languagePack } from '../../src/scoring';
import { compileDrafts, type Draft, lookAt } from '../../src/scoring/draft';
import { clueNames } from '../../src/scoring/draftModel';
import { normalize } from '../../src/scoring/normalize';
import { findNegations } from '../../src/scoring/polarity';
import { beetle } from './outside-data';

/*
 * npx tsx tests/bench/outside-fit.ts
 * Fits the weights of src/scoring/draftModel.ts on the training rows of Beetle and prints them.
 */

const pack = languagePack('en')!;
const data = beetle();
if (!data) {
  console.log('Beetle is not there: nothing to fit on.');
  process.exit(0);
}

const background = [...data.references.values()].flat();
const drafts = new Map<string, Draft>();
const rows = data.rows.filter((row) => row.split === 'train');
const inputs = rows.map((row) => {
  const [says = '', ...accept] = data.references.get(row.questionId) ?? [];
  const draft =
    drafts.get(row.questionId) ??
    compileDrafts([{ id: row.questionId, says, accept, question: row.question }], pack, background)[0]!;
  drafts.set(row.questionId, draft);
  const tokens = normalize(row.text, pack);
  const { clues } = lookAt(draft, tokens, findNegations(tokens, pack));
  return clueNames.map((name) => clues[name]);
});

// Standardised inputs, Adam on the weighted log loss, a little shrinkage. A label weighs by the root of its rarity.
const size = clueNames.length;
const means = clueNames.map((_, k) => inputs.reduce((total, row) => total + row[k]!, 0) / inputs.length);
const spreads = clueNames.map((_, k) =>
  Math.sqrt(inputs.reduce((total, row) => total + (row[k]! - means[k]!) ** 2, 0) / inputs.length),
);
const scaled = inputs.map((row) => [...row.map((value, k) => (value - means[k]!) / spreads[k]!), 1]);
const counts = new Map<Label, number>();
for (const row of rows) counts.set(row.label, (counts.get(row.label) ?? 0) + 1);
const raw = rows.map((row) => Math.sqrt(rows.length / labels.length / counts.get(row.label)!));
const mean = raw.reduce((a, b) => a + b, 0) / raw.length;
const shrink = 1e-3;
const weights = labels.map(() => new Array<number>(size + 1).fill(0));
const first = weights.map((row) => row.map(() => 0));
const second = weights.map((row) => row.map(() => 0));
for (let round = 1; round <= 800; round++) {
  const slope = weights.map((row) => row.map((value) => value * shrink));
  scaled.forEach((row, i) => {
    const raws = weights.map((own) => Math.exp(own.reduce((total, value, k) => total + value * row[k]!, 0)));
    const total = raws.reduce((a, b) => a + b, 0);
    labels.forEach((label, j) => {
      const error = ((raws[j]! / total - Number(rows[i]!.label === label)) * raw[i]!) / mean / rows.length;
      for (let k = 0; k <= size; k++) slope[j]![k]! += error * row[k]!;
    });
  });
  for (let j = 0; j < labels.length; j++)
    for (let k = 0; k <= size; k++) {
      first[j]![k] = 0.9 * first[j]![k]! + 0.1 * slope[j]![k]!;
      second[j]![k] = 0.999 * second[j]![k]! + 0.001 * slope[j]![k]! ** 2;
      weights[j]![k]! -=
        (0.05 * (first[j]![k]! / (1 - 0.9 ** round))) /
        (Math.sqrt(second[j]![k]! / (1 - 0.999 ** round)) + 1e-8);
    }
}
for (const [j, label] of labels.entries()) {
  const own = weights[j]!.slice(0, size).map((value, k) => value / spreads[k]!);
  const constant = weights[j]![size]! - own.reduce((total, value, k) => total + value * means[k]!, 0);
  console.log(`  ${label}: [${[...own, constant].map((value) => value.toFixed(2)).join(', ')}],`);
}
