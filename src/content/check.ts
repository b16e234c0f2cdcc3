import { existsSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { PhrasebankError } from '../../phrasebanks/parse';
import {
  languagesOf,
  modules,
  readCommon,
  readJudging,
  readModule,
  readTeaching,
} from '../../phrasebanks/read';
import type { TeachingFile } from '../../phrasebanks/schema';
import { answerProblems } from './answers';
import { completeness, type LanguageFiles, sameAnswers } from './complete';
import { judgedProblems } from './judged';
import type { Problem } from './problem';
import { count, measuresOf } from './readability';
import { filled, secondsOf, spokenProblems } from './spoken';
import { piecesOf } from './texts';

const root = fileURLToPath(new URL('../../', import.meta.url));

/** What a module is like in a language, in figures. */
export interface Portrait {
  module: string;
  language: string;
  steps: number;
  concepts: number;
  accepted: number;
  mistakes: number;
  answers: number;
  /** Seconds of the longest step. */
  longest: number;
  /** The hardest step by each measure of the language. */
  hardest: string[];
  /** Who reviewed the texts; null: nobody yet. */
  reviewed: { teaching: string | null; judging: string | null };
}

export interface Report {
  portraits: Portrait[];
  problems: Problem[];
}

/** Files under public/pictures. */
export function picturesHere(): Set<string> {
  const home = `${root}public/pictures/`;
  if (!existsSync(home)) return new Set();
  return new Set(
    readdirSync(home, { recursive: true, encoding: 'utf8' }).map((name) => name.replaceAll('\\', '/')),
  );
}

function portrait({ module, teaching, judging, common }: LanguageFiles): Portrait {
  const concepts = Object.values(judging.concepts);
  const steps = piecesOf(teaching).filter((piece) => piece.path.startsWith('steps.'));
  return {
    module: module.id,
    language: teaching.language,
    steps: module.steps.length,
    concepts: concepts.length,
    accepted: concepts.reduce((sum, concept) => sum + concept.accept.length + 1, 0),
    mistakes: concepts.reduce((sum, concept) => sum + concept.contradictions.length, 0),
    answers: teaching.answers.length,
    longest: Math.max(...Object.values(teaching.steps).map((step) => secondsOf(step.teach, common))),
    hardest: measuresOf(teaching.language).map((measure) => {
      const values = steps.map(({ path, text }) => ({
        step: path.slice('steps.'.length),
        value: measure.value(count(filled(text, common), teaching.language, teaching.names)),
      }));
      values.sort((a, b) => (measure.easy === 'below' ? b.value - a.value : a.value - b.value));
      return `${measure.name} ${values[0]!.value.toFixed(1)} (${values[0]!.step}; limit ${measure.limit})`;
    }),
    reviewed: { teaching: teaching.reviewedBy, judging: judging.reviewedBy },
  };
}

/** All problems of one language of a module. */
export const problemsOf = (files: LanguageFiles, pictures: ReadonlySet<string>): Problem[] => [
  ...completeness(files, pictures),
  ...spokenProblems(files.module.id, files.teaching, files.common),
  ...judgedProblems(files),
  ...answerProblems(files.module.id, files.teaching),
];

/** Reads and checks every phrasebank. Never throws: what cannot be read is a problem. */
export function checkContent(only: (module: string, language: string) => boolean = () => true): Report {
  const report: Report = { portraits: [], problems: [] };
  const pictures = picturesHere();
  const attempt = <T>(read: () => T): T | null => {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof PhrasebankError)) {
        report.problems.push({
          file: 'phrasebanks',
          path: '',
          problem: error instanceof Error ? error.message : String(error),
        });
        return null;
      }
      for (const { path, problem } of error.problems)
        report.problems.push({ file: error.file, path, problem });
      return null;
    }
  };
  for (const module of modules()) {
    let first: TeachingFile | null = null;
    for (const language of languagesOf(module)) {
      if (!only(module, language)) continue;
      const files = attempt(() => ({
        module: readModule(module),
        teaching: readTeaching(module, language),
        judging: readJudging(module, language),
        common: readCommon(language),
      }));
      if (!files) continue;
      const problems = attempt(() => problemsOf(files, pictures));
      if (!problems) continue;
      report.problems.push(...problems);
      if (first) report.problems.push(...sameAnswers(module, first, files.teaching));
      first ??= files.teaching;
      report.portraits.push(portrait(files));
    }
  }
  return report;
}
