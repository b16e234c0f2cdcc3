import type { ListedSentence, SentenceState } from '../../recordings';
import { groupName } from './words';

export type Filter = 'all' | 'open' | 'outdated' | 'recorded';

/** `open`: what has no recording that plays. */
export const fits = (filter: Filter, state: SentenceState): boolean =>
  filter === 'all' || (filter === 'open' ? state !== 'recorded' : state === filter);

export interface Choice {
  filter: Filter;
  /** Name of a group of sentences; '' for all. */
  part: string;
  /** The sentence in hand stays in sight, whatever becomes of it; '' for none. */
  key: string;
}

export const chosen = (sentences: readonly ListedSentence[], { filter, part, key }: Choice) =>
  sentences.filter(
    (one) => (fits(filter, one.state) && (part === '' || groupName(one.group) === part)) || one.key === key,
  );

/** The next one without a recording, from the first again after the last. */
export function nextOpen(
  sentences: readonly ListedSentence[],
  key: string | undefined,
): ListedSentence | undefined {
  const here = sentences.findIndex((one) => one.key === key);
  const open = (one: ListedSentence) => one.state !== 'recorded' && one.key !== key;
  return sentences.slice(here + 1).find(open) ?? sentences.find(open);
}

export interface Part {
  name: string;
  /** Else its name is in the language of the lesson. */
  english: boolean;
  sentences: ListedSentence[];
}

/** Neighbours of one group stand together. */
export function inParts(sentences: readonly ListedSentence[]): Part[] {
  const parts: Part[] = [];
  for (const sentence of sentences) {
    const name = groupName(sentence.group);
    const last = parts.at(-1);
    if (last?.name === name) last.sentences.push(sentence);
    else parts.push({ name, english: sentence.group.kind !== 'step', sentences: [sentence] });
  }
  return parts;
}
