import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { judgedIn, readJudging } from '../../phrasebanks/read';
import { compileStep, type JudgeStep, judge, languagePack } from '../../src/scoring';
import { corpus } from './corpus';

const pack = languagePack('en')!;

/** Sentences of a hospital bed that say nothing about a device, near to the words of the phrasebanks. */
export const smallTalk = (): string[] =>
  readFileSync(fileURLToPath(new URL('../corpora/smalltalk.en.txt', import.meta.url)), 'utf8')
    .split('\n')
    .filter(Boolean);

export interface Credit {
  text: string;
  concept: string;
}

export interface Credits {
  /** Concepts judged. */
  judged: number;
  /** Those called understood. */
  credited: Credit[];
}

/** Every step of the English phrasebanks with its module. */
export function everyStep(): { module: string; step: string; concepts: string[]; compiled: JudgeStep }[] {
  return judgedIn('en')
    .map((module) => readJudging(module, 'en'))
    .flatMap((judging) => {
      const byStep = new Map<string, string[]>();
      for (const id of Object.keys(judging.concepts)) {
        const step = id.split('.').slice(0, 2).join('.');
        byStep.set(step, [...(byStep.get(step) ?? []), id]);
      }
      return [...byStep].map(([step, concepts]) => ({
        module: judging.module,
        step,
        concepts,
        compiled: compileStep(judging, concepts, pack),
      }));
    });
}

function credit(answers: readonly { text: string; module?: string }[], among = judgedIn('en')): Credits {
  const result: Credits = { judged: 0, credited: [] };
  for (const { module, compiled } of everyStep().filter((step) => among.includes(step.module)))
    for (const answer of answers) {
      if (answer.module === module) continue;
      for (const finding of judge(answer.text, compiled, pack)) {
        result.judged++;
        if (finding.label === 'understood')
          result.credited.push({ text: answer.text, concept: finding.concept });
      }
    }
  return result;
}

/** Small talk against every step: what is credited by mistake. */
export const creditedTalk = (): Credits => credit(smallTalk().map((text) => ({ text })));

/**
 * Answers of the author set against the steps of the other modules of that set. Two inhalers have much in common,
 * so that what is right for one is no stranger to the other: modules without labelled answers are left out.
 */
export const creditedStrangers = (): Credits => {
  const rows = corpus('author');
  return credit(rows, [...new Set(rows.map((row) => row.module))]);
};
