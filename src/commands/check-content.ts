import { exit } from 'node:process';
import { checkContent } from '../content/check';

/*
 * npm run check:content [-- <module> [<language>]]
 *
 * Checks every phrasebank as an author would want it checked, and tells what to change and where. Exit status 1
 * when anything is to be changed.
 */

const [wantedModule, wantedLanguage] = process.argv.slice(2);
const { portraits, problems } = checkContent(
  (module, language) =>
    (!wantedModule || module === wantedModule) && (!wantedLanguage || language === wantedLanguage),
);

for (const one of portraits) {
  console.log(`${one.module}, ${one.language}`);
  console.log(
    `  ${one.steps} steps, ${one.concepts} concepts, ${one.accepted} accepted phrases, ${one.mistakes} mistakes, ${one.answers} answers`,
  );
  console.log(
    `  longest step ${one.longest.toFixed(0)} s; hardest ${one.hardest.join(', ') || '(no formula)'}`,
  );
  const reviewers = [one.reviewed.teaching, one.reviewed.judging];
  console.log(
    reviewers.every(Boolean)
      ? `  reviewed by ${[...new Set(reviewers)].join(', ')}`
      : '  NOT REVIEWED by a qualified person; staff see that it is not',
  );
}
if (portraits.length === 0 && problems.length === 0) {
  console.log(`There is nothing to check for ${[wantedModule, wantedLanguage].filter(Boolean).join(' ')}.`);
  exit(1);
}
let file = '';
for (const problem of problems) {
  if (problem.file !== file) console.log(`\n${problem.file}`);
  file = problem.file;
  console.log(`  ${problem.path || '(the whole file)'}: ${problem.problem}`);
}
console.log(problems.length === 0 ? '\nclean' : `\n${problems.length} to change`);
if (problems.length > 0) exit(1);
