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

/**
 * Rows of the labelled answers. `author` and `learned` may be read and learned from; `check` and `unseen` are for
 * figures over all of them, never to be looked into: that alone keeps them worth something.
 */
export function corpus(set: 'author' | 'check' | 'learned' | 'unseen', language = 'en'): Row[] {
  return readFileSync(`${home}teachback-${language}.${set}.jsonl`, 'utf8')
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line) as Row);
}
