import { performance } from 'node:perf_hooks';
import { readJudging } from '../../phrasebanks/read';
import { compileStep, judge, type Label, labels, languagePack } from '../../src/scoring';
import { calibrationError, f1, kappa, passed, quantile } from './agreement';
import { corpus, type Row } from './corpus';
import { against, figure } from './figures';
import { byThreshold, type Peer, peers, type Scored, type Thresholds, tune } from './peers';
import { type Credits, creditedStrangers, creditedTalk, everyStep } from './smalltalk';

/*
 * npm run -s bench:score
 * How well judging agrees with the labelled answers, and how fast it is. Figures over whole sets only.
 */

type Pair = [truth: Label, judged: Label];
const pack = languagePack('en')!;
const round = (value: number): string => (Number.isNaN(value) ? '  -  ' : value.toFixed(3));
const percent = (value: number, digits = 1): string =>
  Number.isNaN(value) ? '  -  ' : `${(value * 100).toFixed(digits)} %`;

interface Judged {
  module: string;
  truth: Label;
  label: Label;
  confidence: number;
}

function run(rows: readonly Row[]): Judged[] {
  return rows.flatMap((row) => {
    const own = languagePack(row.language)!;
    const step = compileStep(readJudgingOnce(row.module, row.language), Object.keys(row.labels), own);
    return judge(row.text, step, own).map((finding) => ({
      module: row.module,
      truth: row.labels[finding.concept]!,
      label: finding.label,
      confidence: finding.confidence,
    }));
  });
}

const files = new Map<string, ReturnType<typeof readJudging>>();
function readJudgingOnce(module: string, language = 'en'): ReturnType<typeof readJudging> {
  const key = `${module}/${language}`;
  const known = files.get(key) ?? readJudging(module, language);
  files.set(key, known);
  return known;
}

function score(rows: readonly Row[], how: Peer): Scored[] {
  return rows.flatMap((row) =>
    Object.entries(row.labels).map(([id, truth]) => {
      const concept = readJudgingOnce(row.module).concepts[id]!;
      return {
        truth,
        right: how(row.text, [concept.says, ...concept.accept]),
        wrong: how(
          row.text,
          concept.contradictions.map((item) => item.says),
        ),
      };
    }),
  );
}

function line(name: string, pairs: readonly Pair[]): string {
  const right = pairs.filter(([truth, label]) => truth === label).length / pairs.length;
  return [
    name.padEnd(28),
    `n ${String(pairs.length).padStart(4)}`,
    `kappa ${round(kappa(pairs))}`,
    `accuracy ${round(right)}`,
    `F1 understood ${round(f1(pairs, 'understood'))}`,
    `passed: misconception ${percent(passed(pairs, 'misconception', 'understood'))}`,
    `missed ${percent(passed(pairs, 'missed', 'understood'))}`,
  ].join('  ');
}

function matrix(pairs: readonly Pair[]): string {
  const rows = labels.map((truth) =>
    [
      `    ${truth.padEnd(14)}`,
      ...labels.map((label) =>
        String(pairs.filter(([a, b]) => a === truth && b === label).length).padStart(14),
      ),
    ].join(''),
  );
  return [
    `    ${'true \\ judged'.padEnd(14)}${labels.map((label) => label.padStart(14)).join('')}`,
    ...rows,
  ].join('\n');
}

const tuned = new Map<string, Thresholds>();
const sets = [
  ['author', 'en'],
  ['check', 'en'],
  ['learned', 'en'],
  ['unseen', 'en'],
  ['unseen', 'es'],
  ['unseen', 'fr'],
] as const;
for (const [set, language] of sets) {
  const rows = corpus(set, language);
  const judged = run(rows);
  console.log(`\n${set} set (${language}), ${rows.length} answers`);
  for (const module of [...new Set(rows.map((row) => row.module)), 'all']) {
    const mine = judged.filter((item) => module === 'all' || item.module === module);
    console.log(
      line(
        module,
        mine.map((item): Pair => [item.truth, item.label]),
      ),
    );
  }
  const pairs = judged.map((item): Pair => [item.truth, item.label]);
  console.log(matrix(pairs));
  const about = `${set} set (${language})`;
  const wrong = 100 * passed(pairs, 'misconception', 'understood');
  const silent = 100 * passed(pairs, 'missed', 'understood');
  if (set === 'check') {
    against(`${about}: kappa`, kappa(pairs), '', { atLeast: 0.65 });
    against(`${about}: F1 of understood`, f1(pairs, 'understood'), '', { atLeast: 0.82 });
    against(`${about}: misconceptions passed`, wrong, '%', { atMost: 3 });
    against(`${about}: misses passed`, silent, '%', { atMost: 3 });
  } else {
    figure(`${about}: kappa`, kappa(pairs), '');
    figure(`${about}: F1 of understood`, f1(pairs, 'understood'), '');
    figure(`${about}: misconceptions passed`, wrong, '%');
    figure(`${about}: misses passed`, silent, '%');
  }
  const error = calibrationError(
    judged.map((item) => ({ confidence: item.confidence, right: item.truth === item.label })),
  );
  console.log(`    expected calibration error ${round(error)}`);
  // The peers know only words: their thresholds are tuned on the author set.
  for (const [name, how] of Object.entries(language === 'en' ? peers : {})) {
    const items = score(rows, how);
    if (set === 'author') tuned.set(name, tune(items));
    const thresholds = tuned.get(name)!;
    console.log(
      line(
        `${name} alone`,
        items.map((item): Pair => [item.truth, byThreshold(item, thresholds)]),
      ),
    );
  }
}

const creditedOf = (...parts: Credits[]): [number, number] => [
  parts.reduce((total, part) => total + part.credited.length, 0),
  parts.reduce((total, part) => total + part.judged, 0),
];
const share = (...parts: Credits[]): string => {
  const [credited, judged] = creditedOf(...parts);
  return `${credited} of ${judged} concepts (${percent(credited / judged, 2)})`;
};
const talk = creditedTalk();
const strangers = creditedStrangers();
console.log(
  `\ncalled understood: by small talk ${share(talk)}, by answers to other modules ${share(strangers)}, together ${share(talk, strangers)}`,
);

// Time: answers joined to 90 words, judged against their step.
const all = corpus('author');
const times: number[] = [];
for (let round = 0; round < 6; round++) {
  for (const module of new Set(all.map((row) => row.module))) {
    const rows = all.filter((row) => row.module === module);
    rows.forEach((row, index) => {
      const words: string[] = [];
      for (let k = 0; words.length < 90; k++)
        words.push(...rows[(index + k) % rows.length]!.text.split(/\s+/));
      const text = words.slice(0, 90).join(' ');
      const step = compileStep(readJudgingOnce(module), Object.keys(row.labels), pack);
      const before = performance.now();
      judge(text, step, pack);
      if (round > 0) times.push(performance.now() - before);
    });
  }
}
console.log(
  `\ntime an answer of 90 words: median ${quantile(times, 0.5).toFixed(2)} ms, p95 ${quantile(times, 0.95).toFixed(2)} ms, most ${Math.max(...times).toFixed(2)} ms (n ${times.length})`,
);

// And the longest text that is judged, made of words of the phrasebanks and of plain noise.
const longest: number[] = [];
for (const { module, compiled } of everyStep()) {
  const words = Object.values(readJudgingOnce(module).words).flat();
  const said = all.filter((row) => row.module === module).map((row) => row.text);
  for (const pieces of [words, said, ['not', 'no', 'or', 'and'], ['if', 'only', '?'], ['x']]) {
    const unit = `${pieces.join(' ')} `;
    const text = unit.repeat(Math.ceil(20_000 / unit.length)).slice(0, 20_000);
    // The least of three: what else the machine does is not the scorer's time.
    const runs = [1, 2, 3].map(() => {
      const before = performance.now();
      judge(text, compiled, pack);
      return performance.now() - before;
    });
    longest.push(Math.min(...runs));
  }
}
console.log(
  `time a text of 20,000 characters, least of three: median ${quantile(longest, 0.5).toFixed(1)} ms, most ${Math.max(...longest).toFixed(1)} ms (n ${longest.length}; must stay under 200 ms)`,
);
const [credited, others] = creditedOf(talk, strangers);
against('small talk and answers to other modules called understood', (100 * credited) / others, '%', {
  atMost: 0.3,
});
against('time to judge 90 words, median', quantile(times, 0.5), 'ms', { atMost: 2 });
against('time to judge 90 words, p95', quantile(times, 0.95), 'ms', { atMost: 8 });
against('time to judge 20,000 characters, most', Math.max(...longest), 'ms', { atMost: 200 });
