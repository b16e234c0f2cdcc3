import type { TeachingFile } from '../../phrasebanks/schema';
import { findAnswer, languagePack } from '../scoring';
import type { Problem } from './problem';

/**
 * Is each approved answer found by its own questions? And were a question not listed, would it rather be kept
 * for a person than find another answer?
 */
export function answerProblems(module: string, teaching: TeachingFile): Problem[] {
  const pack = languagePack(teaching.language);
  if (!pack) return [];
  const file = `phrasebanks/${module}/${teaching.language}.teaching.json`;
  return teaching.answers.flatMap((answer, index) =>
    answer.asks.flatMap((text, k) => {
      const path = `answers[${index}].asks[${k}]`;
      const found = findAnswer(text, teaching.answers, pack)?.id ?? null;
      if (found !== answer.id)
        return [
          {
            file,
            path,
            problem: `"${text}" finds ${found ? `the answer "${found}"` : 'no answer, as two are equally near'}; it should find "${answer.id}"`,
          },
        ];
      const others = teaching.answers.map((one) =>
        one === answer ? { ...one, asks: one.asks.filter((ask) => ask !== text) } : one,
      );
      const instead = findAnswer(text, others, pack)?.id ?? answer.id;
      if (instead === answer.id) return [];
      return [
        {
          file,
          path,
          problem: `"${text}" would find "${instead}" if it were not listed; tell the two apart`,
        },
      ];
    }),
  );
}
