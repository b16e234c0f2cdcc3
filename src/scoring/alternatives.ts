import type { LanguagePack } from '../../phrasebanks/languages/pack';
import { factsOf } from './facts';
import { normalize } from './normalize';
import { withOrder } from './order';
import type { JudgeStep } from './step';
import type { Finding, Span, Utterance } from './types';
import { verdicts } from './verdict';

/** Readings past these are guesses of guesses, and each costs a judging. */
const mostReadings = 4;
/** From this share of the weight on, other readings that say something else make a finding doubtful. */
const weightyShare = 0.2;
/**
 * An evidence word below this makes a finding doubtful. English words that claim 0.31 were right in 0.41 of
 * cases, those that claim 0.51 in 0.39 (src/hearing/embedded/transformer/trust.ts), French ones less often
 * (src/hearing/embedded/sphinx/confidence.ts).
 */
const weakWord = 0.4;
/**
 * Below this trust in the whole a visit asks "did I hear you right?" (machines/step.ts), and nothing is earned. Of
 * people who spoke of other things it asks in an eighth of the turns (tests/bench/hearing-outside.ts).
 */
export const poorlyHeard = 0.6;
/** A doubtful finding is at most this sure: less than an `understood` needs. */
const doubtful = 0.45;

const unit = (value: number): number => (value > 0 ? Math.min(1, value) : 0);
const round = (value: number): number => Math.round(value * 1000) / 1000;

/**
 * Judges what was heard together with the recogniser's other readings and its trust in single words. Agreeing
 * readings make up for a low confidence of the whole. A concept on which they disagree, whose evidence hangs on a
 * poorly heard word, or that is found in an answer that was heard poorly as a whole, is `doubtful` and never
 * `understood`. Labels come from `text`; no other reading
 * earns one.
 */
export function judgeHeard(heard: Utterance, step: JudgeStep, pack: LanguagePack): Finding[] {
  const facts = factsOf(heard.text, step, pack);
  const whole = unit(heard.confidence);
  const main = verdicts(step, facts, 1);
  const trust = wordTrust(heard);
  const readings = otherReadings(heard, pack).map(({ text, weight }) => ({
    weight,
    findings: verdicts(step, factsOf(text, step, pack), 1),
  }));
  const findings = main.map((sure, index): Finding => {
    let agreeing = 0;
    let differing = 0;
    for (const reading of readings) {
      const other = reading.findings[index];
      if (other?.label === sure.label) agreeing += reading.weight;
      else differing += reading.weight;
    }
    const total = whole + agreeing + differing;
    const split = total > 0 && differing / total >= weightyShare;
    const word = Math.min(1, ...sure.evidence.flatMap((span) => trust(span)));
    const agreed =
      differing > 0 ? (whole * (whole + agreeing)) / total : whole + (1 - whole) * Math.min(1, agreeing);
    const hearing = Math.min(agreed, word);
    const finding =
      hearing === 1 ? sure : verdicts({ ...step, concepts: [step.concepts[index]!] }, facts, hearing)[0]!;
    // What is missed has no words that could be wrong.
    const poor = Math.max(whole, agreed) < poorlyHeard && sure.label !== 'missed';
    if (!split && word >= weakWord && !poor) return finding;
    const why = split
      ? 'Other readings of the answer say something else'
      : word < weakWord
        ? 'A word that decides it was heard poorly'
        : 'The answer was heard poorly';
    return {
      ...finding,
      label: finding.label === 'understood' ? 'partial' : finding.label,
      confidence: round(Math.min(finding.confidence, doubtful)),
      doubtful: true,
      reason: `${why}: ${finding.reason}`,
    };
  });
  return withOrder(findings, heard.text, facts, step, pack);
}

/** The other readings that are not the same words again, best first. */
function otherReadings(heard: Utterance, pack: LanguagePack): { text: string; weight: number }[] {
  if (heard.alternatives.length === 0) return [];
  const key = (text: string): string =>
    normalize(text, pack)
      .map((token) => token.word)
      .join(' ');
  const seen = new Set(['', key(heard.text)]);
  const readings: { text: string; weight: number }[] = [];
  for (const { text, confidence } of heard.alternatives) {
    const weight = unit(confidence);
    const words = key(text);
    if (weight === 0 || seen.has(words)) continue;
    seen.add(words);
    readings.push({ text, weight });
    if (readings.length === mostReadings) break;
  }
  return readings;
}

/** Span of the text -> the confidences of the recogniser's words in it; empty where it gave none. */
function wordTrust(heard: Utterance): (span: Span) => number[] {
  const text = heard.text.toLowerCase();
  const placed: (Span & { confidence: number })[] = [];
  let from = 0;
  // A lower-cased text of another length would shift the offsets.
  if (text.length === heard.text.length)
    for (const { word, confidence } of heard.words ?? []) {
      const start = word === '' ? -1 : text.indexOf(word.toLowerCase(), from);
      if (start < 0) continue;
      from = start + word.length;
      placed.push({ start, end: from, confidence: unit(confidence) });
    }
  return (span) =>
    placed.filter((word) => word.start < span.end && word.end > span.start).map((word) => word.confidence);
}
