import type { ConceptRecord, StepRecord } from './derive';
import { oneLine } from './plain';
import type { Turn } from './turns';

/*
 * What came of the answers about a point, in the words of a note. The answers themselves are told once, for the whole
 * step, and pointed at by their numbers.
 */

/** The answers of a step that were judged, in order. */
export const judgedTurns = (step: string, turns: readonly Turn[]): Turn[] =>
  turns.filter((turn) => turn.step === step && turn.findings.length > 0);

/** `(1) "..."; (2) "..."`; empty: none was judged. */
export function quoted(step: StepRecord, turns: readonly Turn[]): string {
  const answers = judgedTurns(step.step, turns);
  const words = ({ heard }: Turn) => (heard ? `"${oneLine(heard)}"` : 'lost from the log');
  if (answers.length === 1) return words(answers[0]!);
  return answers.map((turn, index) => `(${index + 1}) ${words(turn)}`).join('; ');
}

const names = {
  understood: 'said',
  partial: 'said in part',
  missed: 'not said',
  misconception: 'said the opposite',
} as const;

/** "not said in answers 1 and 2, said the opposite in answer 3". */
export function courseOf(concept: ConceptRecord, turns: readonly Turn[]): string {
  if (concept.answers.length === 0)
    return concept.asked > 0 ? 'asked, but no answer was judged' : 'not asked';
  const order = judgedTurns(concept.step, turns).map(({ seq }) => seq);
  const runs: { what: string; numbers: number[] }[] = [];
  for (const { seq, finding } of concept.answers) {
    const what = names[finding.label];
    const number = order.indexOf(seq) + 1;
    const last = runs.at(-1);
    if (last?.what !== what) runs.push({ what, numbers: [number] });
    else if (!last.numbers.includes(number)) last.numbers.push(number);
  }
  if (order.length === 1) return runs.map(({ what }) => what).join(', then ');
  return runs.map(({ what, numbers }) => `${what} in ${answers(numbers)}`).join(', ');
}

function answers(numbers: number[]): string {
  if (numbers.length === 1) return `answer ${numbers[0]}`;
  return `answers ${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`;
}

/** "taught again twice"; empty: it was not. */
export function taughtAgain({ retaught }: ConceptRecord): string {
  if (retaught === 0) return '';
  return `taught again ${retaught === 1 ? 'once' : retaught === 2 ? 'twice' : `${retaught} times`}`;
}
