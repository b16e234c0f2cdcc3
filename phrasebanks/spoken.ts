import type { JudgingFile } from './judging';
import type { TeachingFile } from './schema';

/**
 * Everything that people may be heard to say about a module, for a recogniser: accepted and contradicting
 * sentences, the synonyms that judging knows, and what the learner was just taught, which they echo.
 */
export function spokenAbout(judging: JudgingFile, teaching: TeachingFile): string[] {
  const said = Object.values(judging.concepts).flatMap((concept) => [
    concept.says,
    ...concept.accept,
    ...concept.contradictions.flatMap((item) => [item.says, ...(item.phrases ?? [])]),
  ]);
  // Synonyms are written as patterns: words joined by "_", with signs around them.
  const words = Object.values(judging.words)
    .flat()
    .map((word) => word.replace(/(?<=\p{L})[_-](?=\p{L})|_/gu, ' ').replace(/[^\p{L}' ]/gu, ''));
  const taught = Object.values(teaching.steps).flatMap((step) => [...step.teach, ...step.simplest]);
  const withoutSlots = taught.map((sentence) => sentence.replace(/\{\w+\}/g, ' '));
  return [...new Set([...said, ...words, ...withoutSlots])].filter((phrase) => phrase.trim() !== '');
}
