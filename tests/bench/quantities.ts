import { pathToFileURL } from 'node:url';
import { against } from './figures';
import { dataIsThere, type Outcome, packs, share } from './quantities/cases';
import { parsigs, scottish } from './quantities/doses';
import { duckling } from './quantities/duckling';
import { distances, entities, numbers } from './quantities/recognizers';

/*
 * npm run -s bench:quantities
 * Numbers, durations and frequencies against cases of other people:
 * Recognizers-Text (MIT) number, duration and set specs; duckling (BSD-3); the dose sentences of parsigs (MIT)
 * and of Public Health Scotland's dose_instruction_parser (MIT).
 * Loose amounts ("a few minutes") are right when they are found as loose: no value is compared.
 * What is out of scope is decided by rules over the case and its gold, before anything is read.
 */

/** Outcomes that have a threshold, by the group it holds for. */
export interface Measured {
  groups: { name: string; least: number; outcomes: Outcome[] }[];
  beside: Outcome[];
}

export function measure(): Measured {
  const recognizers = (language: string): Outcome[] => [
    numbers(language),
    entities(language, 'DurationExtractor', 'duration'),
    entities(language, 'DurationParser', 'duration'),
    entities(language, 'SetExtractor', 'frequency'),
    entities(language, 'SetParser', 'frequency'),
  ];
  return {
    groups: [
      { name: 'English', least: 0.9, outcomes: recognizers('English') },
      { name: 'Spanish', least: 0.8, outcomes: recognizers('Spanish') },
      { name: 'French', least: 0.8, outcomes: recognizers('French') },
      { name: 'dose sentences: parsigs', least: 0.85, outcomes: [parsigs()] },
      { name: 'dose sentences: Scotland', least: 0.85, outcomes: [scottish()] },
    ],
    beside: [
      ...Object.keys(packs).map(distances),
      ...(['EN', 'ES', 'FR'] as const).flatMap((lang) => [
        duckling('Numeral', lang),
        duckling('Duration', lang),
      ]),
    ],
  };
}

/** Cases, in scope and right of several sets together. */
export const together = (
  outcomes: readonly Outcome[],
): { cases: number; inScope: number; right: number } => ({
  cases: outcomes.reduce((sum, { cases }) => sum + cases, 0),
  inScope: outcomes.reduce((sum, { inScope }) => sum + inScope, 0),
  right: outcomes.reduce((sum, { right }) => sum + right, 0),
});

function main(): void {
  if (!dataIsThere()) {
    console.log('skipped: ../shared/datasets is not there');
    return;
  }
  const all = process.argv.includes('--wrong');
  const percent = (value: number): string => `${(value * 100).toFixed(1).padStart(5)} %`;
  const line = (name: string, sum: { cases: number; inScope: number; right: number }): void =>
    console.log(
      `${name.padEnd(46)} cases ${String(sum.cases).padStart(4)}  in scope ${String(sum.inScope).padStart(4)}  right ${String(sum.right).padStart(4)}  ${percent(share(sum))}`,
    );
  const print = (outcome: Outcome): void => {
    line(outcome.set, outcome);
    for (const [kind, count] of Object.entries(outcome.out)) console.log(`    out: ${count} ${kind}`);
    if (all) for (const text of outcome.wrong) console.log(`    not right: ${text}`);
  };
  const { groups, beside } = measure();
  for (const { name, least, outcomes } of groups) {
    for (const outcome of outcomes) print(outcome);
    if (outcomes.length > 1) line(`${name}, together`, together(outcomes));
    against(`quantities, ${name}`, 100 * share(together(outcomes)), '%', { atLeast: 100 * least });
    console.log('');
  }
  console.log('beside:');
  for (const outcome of beside) print(outcome);
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) main();
