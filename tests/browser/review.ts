import type { SummaryFile } from '../../src/records/summary-schema';
import { misses } from './learner';
import { differs, type Said } from './visit';

/**
 * Checks what the summary of the practice learner's visit says against what was said, and tells each turn with its
 * findings. `byEar`: there was nobody who ticked what the hands showed.
 * @returns what is wrong
 */
export function review(
  summary: SummaryFile,
  turns: readonly Said[],
  { byEar = false, tell = console.log }: { byEar?: boolean; tell?: (line: string) => void } = {},
): string[] {
  const problems: string[] = [];
  const answers = turns.filter((turn) => turn.asked.length > 0);
  tell('\nWhat the summary holds:');
  for (const turn of summary.turns) {
    const where = `${turn.step}, try ${turn.attempt}`;
    // More than one when the kiosk asked to hear it again: the nearest is the one that was taken.
    const said = answers.filter(({ step, attempt }) => step === turn.step && attempt === turn.attempt);
    const heard = turn.heard ?? '';
    const wer = Math.min(...said.map(({ text }) => differs(text, heard)), Number.POSITIVE_INFINITY);
    tell(`${where}\n  asked  ${turn.asked}\n  said   ${said.at(-1)?.text ?? '?'}`);
    tell(
      `  heard  ${heard} (word errors ${(100 * wer).toFixed(0)} %, confidence ${turn.confidence?.toFixed(2)})`,
    );
    for (const { label, concept, confidence, contradiction, missing } of turn.findings) {
      const why = contradiction ?? missing ?? '';
      tell(`         ${label.padEnd(13)} ${concept} ${why} (${confidence.toFixed(2)})`);
    }
    if (heard.trim() === '') problems.push(`${where}: nothing was heard`);
    if (turn.engine !== 'embedded')
      problems.push(`${where}: heard by ${turn.engine}, not by the built-in recogniser`);
    if (turn.mode !== 'voice') problems.push(`${where}: answered by ${turn.mode}, not by voice`);
    if (wer > 0.8) problems.push(`${where}: what was heard has hardly a word of what was said`);
  }
  for (const turn of turns) {
    if (turn.peak < -40 || turn.streams < 1) problems.push(`"${turn.text}" did not reach the microphone`);
  }
  const steps = summary.start?.steps ?? [];
  if (steps.length !== 7) problems.push(`${steps.length} of 7 steps were planned`);
  for (const step of steps) {
    if (!summary.turns.some((turn) => turn.step === step)) problems.push(`${step}: no answer was heard`);
  }
  for (const { concept, outcome } of summary.concepts) {
    if (outcome === 'not-asked') problems.push(`${concept} was not asked`);
  }
  const again = summary.concepts.filter(({ retaught }) => retaught > 0).map(({ concept }) => concept);
  tell(`taught again: ${again.join(', ') || 'nothing'}`);
  for (const concept of misses) {
    if (!again.includes(concept)) problems.push(`${concept} was missed and not taught again`);
  }
  if (!byEar && summary.showMe.some(({ shown }) => shown !== true))
    problems.push('a show-me tick is not in the summary');
  if (summary.state !== 'completed') problems.push(`the visit did not end completed (${summary.state})`);
  return problems;
}
