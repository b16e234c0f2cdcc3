import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Label } from '../../src/scoring';

const home = fileURLToPath(new URL('../../../shared/datasets/', import.meta.url));

/** A file of the data beside the project, or null when it is not there. */
export function outsideText(path: string): string | null {
  return existsSync(home + path) ? readFileSync(home + path, 'utf8').replace(/^\uFEFF/, '') : null;
}

const rowsOf = (text: string): string[][] =>
  text
    .trim()
    .split(/\r?\n/)
    .slice(1)
    .map((line) => line.split('\t'));

export interface BeetleRow {
  split: 'train' | 'test-UA' | 'test-UQ';
  questionId: string;
  question: string;
  text: string;
  label: Label;
}

export interface Beetle {
  rows: BeetleRow[];
  /** Reference answers by question, the best first. */
  references: Map<string, string[]>;
}

/**
 * SemEval-2013 task 7, Beetle (CC BY-SA 3.0): typed answers of students about electric circuits, each with
 * the reference answers of its question. Null when it is not there.
 */
export function beetle(): Beetle | null {
  const answers = outsideText('grading/beetle_5way.tsv');
  const sentences = outsideText('grading/beetle_references.tsv');
  if (answers === null || sentences === null) return null;
  const references = new Map<string, string[]>();
  for (const [id = '', , category, text = ''] of rowsOf(sentences)) {
    const list = references.get(id) ?? [];
    if (category === 'BEST') list.unshift(text);
    else list.push(text);
    references.set(id, list);
  }
  const names: Record<string, Label> = {
    understood: 'understood',
    partial: 'partial',
    missed: 'missed',
    contradicted: 'misconception',
  };
  const rows = rowsOf(answers).map(
    ([split, questionId = '', , question = '', text = '', , mapped = '']): BeetleRow => ({
      split: split as BeetleRow['split'],
      questionId,
      question,
      text,
      label: names[mapped]!,
    }),
  );
  return { rows, references };
}
