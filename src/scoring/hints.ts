import type { JudgingFile } from '../../phrasebanks/judging';

/** Plain sentences an answer to these concepts may contain, right and wrong, for a recogniser's language model. */
export function phrasesFor(judging: JudgingFile, concepts: readonly string[]): string[] {
  const phrases = new Set<string>();
  for (const id of concepts) {
    const concept = judging.concepts[id];
    if (!concept) continue;
    for (const text of [concept.says, ...concept.accept]) phrases.add(text);
    for (const item of concept.contradictions)
      for (const text of [item.says, ...(item.phrases ?? [])]) phrases.add(text);
  }
  return [...phrases];
}
