import { readFileSync } from 'node:fs';
import { judgedIn, readJudging } from '../../phrasebanks/read';
import { compileStep, type Finding, judge, languagePack } from '../../src/scoring';

export interface MistakeRow {
  batch: string;
  concept: string;
  label: 'understood' | 'misconception';
  text: string;
  finding: Finding;
}

/** The rows of tests/scoring/mistakes.tsv, each judged for its own concept among those of its step. */
export function judgedMistakes(): MistakeRow[] {
  const en = languagePack('en')!;
  const lines = readFileSync('tests/scoring/mistakes.tsv', 'utf8').trim().split('\n').slice(1);
  const files = new Map(judgedIn('en').map((module) => [module, readJudging(module, 'en')]));
  return lines.map((line) => {
    const [batch = '', module = '', , concept = '', label = '', text = ''] = line.split('\t');
    const judging = files.get(module);
    if (!judging) throw new Error(`tests/scoring/mistakes.tsv, "${text}": there is no module "${module}"`);
    const step = Object.keys(judging.concepts).filter((id) => id.split('.')[1] === concept.split('.')[1]);
    const finding = judge(text, compileStep(judging, step, en), en).find((one) => one.concept === concept);
    if (!finding || (label !== 'understood' && label !== 'misconception'))
      throw new Error(`tests/scoring/mistakes.tsv, "${text}": no such concept or label`);
    return { batch, concept, label, text, finding };
  });
}
