import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Label } from '../../src/scoring';

export interface Row {
  id: string;
  module: string;
  step: string;
  language: string;
  text: string;
  labels: Record<string, Label>;
}

const home = fileURLToPath(new URL('../corpora/', import.meta.url));

/** Rows of the labelled answers. The check set is for figures over all of it, never to be looked into. */
export function corpus(set: 'author' | 'check'): Row[] {
  return readFileSync(`${home}teachback-en.${set}.jsonl`, 'utf8')
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line) as Row);
}
