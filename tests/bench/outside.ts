import { doubleMetaphone } from 'double-metaphone';
import { draftConcepts, type JudgeStep, judge, type Label, labels, languagePack } from '../../src/scoring';
import { lookAt } from '../../src/scoring/draft';
import { draftOdds } from '../../src/scoring/draftModel';
import { normalize } from '../../src/scoring/normalize';
import { findNegations } from '../../src/scoring/polarity';
import { f1, kappa } from './agreement';
import { against, percent } from './figures';
import { type BeetleRow, beetle, outsideText } from './outside-data';
import { findingNegated, negationRows } from './outside-negation';
import { peers } from './peers';

/*
 * npm run -s bench:outside
 * Judging measured on data of other people, beside what others reached on it. Needs ../shared/datasets.
 */

const pack = languagePack('en')!;

/** Area under the ROC curve: how often a right one scores higher than a wrong one; a tie counts half. */
function auc(items: readonly { score: number; right: boolean }[]): number {
  const sorted = [...items].sort((a, b) => a.score - b.score);
  let ranks = 0;
  let right = 0;
  for (let i = 0; i < sorted.length; ) {
    let k = i;
    while (k < sorted.length && sorted[k]!.score === sorted[i]!.score) k++;
    const rank = (i + 1 + k) / 2;
    for (let n = i; n < k; n++) {
      if (!sorted[n]!.right) continue;
      ranks += rank;
      right++;
    }
    i = k;
  }
  return (ranks - (right * (right + 1)) / 2) / (right * (sorted.length - right));
}

const macroF1 = (pairs: readonly (readonly [string, string])[], of: readonly string[]): number =>
  of.reduce((total, label) => total + f1(pairs, label), 0) / of.length;

function benchBeetle(): void {
  const data = beetle();
  if (!data) {
    console.log('Beetle: absent, left out');
    return;
  }
  console.log(
    '\nSemEval-2013 task 7, Beetle (CC BY-SA 3.0): draft mode, concepts are the reference answers.\n' +
      'Weights were fitted on its training rows; these are its test rows.',
  );
  const background = [...data.references.values()].flat();
  const steps = new Map<string, JudgeStep>();
  const judged = data.rows
    .filter((row) => row.split !== 'train')
    .map((row) => {
      const sentences = data.references.get(row.questionId) ?? [];
      const [says = '', ...accept] = sentences;
      const drafted = { id: row.questionId, says, accept, question: row.question };
      const step = steps.get(row.questionId) ?? draftConcepts([drafted], pack, background);
      steps.set(row.questionId, step);
      const tokens = normalize(row.text, pack);
      const look = lookAt(step.concepts[0]!.draft!, tokens, findNegations(tokens, pack));
      return {
        row,
        label: judge(row.text, step, pack)[0]!.label,
        score: draftOdds(look.clues).understood,
        coverage: peers['word coverage']!(row.text, sentences),
        tokenSet: peers['fuzzball token_set_ratio']!(row.text, sentences),
      };
    });
  const three = (label: Label): string =>
    label === 'understood' ? 'correct' : label === 'misconception' ? 'contradictory' : 'incorrect';
  for (const [name, splits] of [
    ['unseen answers', ['test-UA']],
    ['unseen questions', ['test-UQ']],
    ['both', ['test-UA', 'test-UQ']],
  ] as [string, BeetleRow['split'][]][]) {
    const mine = judged.filter(({ row }) => splits.includes(row.split));
    const by = (key: 'score' | 'coverage' | 'tokenSet'): string =>
      auc(mine.map((item) => ({ score: item[key], right: item.row.label === 'understood' }))).toFixed(3);
    const pairs = mine.map(({ row, label }) => [row.label, label] as const);
    const coarse = pairs.map(([a, b]) => [three(a), three(b)] as const);
    if (name === 'both')
      against(
        'drafted concepts on the Beetle test rows: AUC of correct',
        auc(mine.map((item) => ({ score: item.score, right: item.row.label === 'understood' }))),
        '',
        { atLeast: 0.84 },
      );
    const passed = pairs.filter(([a, b]) => a === 'misconception' && b === 'understood').length;
    const wrong = pairs.filter(([a]) => a === 'misconception').length;
    console.log(
      [
        `  ${name.padEnd(17)} n ${mine.length}`,
        `AUC ${by('score')} (word coverage ${by('coverage')}, token_set_ratio ${by('tokenSet')})`,
        `macro-F1 of four ${macroF1(pairs, labels).toFixed(3)}, of three ${macroF1(coarse, ['correct', 'contradictory', 'incorrect']).toFixed(3)}`,
        `kappa ${kappa(pairs).toFixed(3)}`,
        `misconceptions passed ${percent(passed, wrong)}`,
      ].join('  '),
    );
  }
  console.log(
    '  published: trained lexical baseline (paper S13-2045) macro-F1 of five .424 / .414, of three .552 / .477\n' +
      '  (unseen answers / questions); word coverage as measured beside the data AUC 0.826. Goal: AUC at least 0.84.',
  );
}

function benchNegation(): void {
  const rows = negationRows();
  if (!rows) {
    console.log('NegEx: absent, left out');
    return;
  }
  console.log('\nNegEx annotations (chapmanbe/negex, Apache-2.0): is the finding negated?');
  for (const [name, part] of [
    ['even lines (rules were written on these)', rows.filter((row) => row.line % 2 === 0)],
    ['odd lines (kept apart)', rows.filter((row) => row.line % 2 === 1)],
  ] as const) {
    const answers = part.map((row) => ({ truth: row.negated, said: findingNegated(row) }));
    const found = answers.filter(({ said }) => said !== null);
    const yes = found.filter(({ truth }) => truth);
    const no = found.filter(({ truth }) => !truth);
    const sensitivity = (100 * yes.filter(({ said }) => said).length) / yes.length;
    const specificity = (100 * no.filter(({ said }) => !said).length) / no.length;
    if (name.startsWith('odd')) {
      against('negation, held-out half: sensitivity', sensitivity, '%', { atLeast: 90 });
      against('negation, held-out half: specificity', specificity, '%', { atLeast: 95 });
    }
    console.log(
      `  ${name.padEnd(42)} n ${found.length} (${answers.length - found.length} not found in their sentence)  ` +
        `sensitivity ${percent(yes.filter(({ said }) => said).length, yes.length)}  ` +
        `specificity ${percent(no.filter(({ said }) => !said).length, no.length)}`,
    );
  }
  console.log('  published: GenNegEx 95.9 % / 98.8 %. Goal: at least 90 % / 95 %.');
}

function benchSound(): void {
  const text = outsideText('phonetic/double_metaphone.tsv');
  if (text === null) {
    console.log('Double Metaphone: absent, left out');
    return;
  }
  const rows = text
    .trim()
    .split(/\r?\n/)
    .slice(1)
    .map((line) => line.split('\t'));
  const right = rows.filter(([word = '', primary, alternate]) => {
    const [first, second] = doubleMetaphone(word);
    return first.slice(0, 4) === primary && second.slice(0, 4) === alternate;
  }).length;
  against('Double Metaphone: both codes right', (100 * right) / rows.length, '%', { atLeast: 99 });
  console.log(
    `\nDouble Metaphone, words of apache/commons-codec (Apache-2.0), codes cut at four letters as there:\n` +
      `  both codes right ${right} of ${rows.length} (${percent(right, rows.length)}). Goal: at least 99 %.`,
  );
}

if (outsideText('README.md') === null) {
  console.log('outside data absent: there is no ../shared/datasets beside the project; nothing measured');
} else {
  benchBeetle();
  benchNegation();
  benchSound();
}
