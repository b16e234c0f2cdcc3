import type { JudgingFile } from '../../phrasebanks/judging';
import { compileStep, judge, languagePack } from '../scoring';
import type { LanguageFiles } from './complete';
import type { Problem } from './problem';

const stripped = new WeakMap<JudgingFile, JudgingFile>();

/** The patterns of a file without its sentences: one would find itself, and the patterns must find it. Made once. */
function alone(judging: JudgingFile): JudgingFile {
  const made = stripped.get(judging) ?? {
    ...judging,
    concepts: Object.fromEntries(
      Object.entries(judging.concepts).map(([id, concept]) => [
        id,
        {
          ...concept,
          accept: [],
          contradictions: concept.contradictions.map((item) => ({ ...item, says: '', phrases: [] })),
        },
      ]),
    ),
  };
  stripped.set(judging, made);
  return made;
}

/** Does the scorer agree with what the author says is right, wrong and said of which concept? */
export function judgedProblems({ module, judging }: LanguageFiles): Problem[] {
  const file = `phrasebanks/${module.id}/${judging.language}.judging.json`;
  const pack = languagePack(judging.language);
  if (!pack) return [{ file, path: 'language', problem: `nothing here judges "${judging.language}" yet` }];
  const problems: Problem[] = [];
  const patternsAlone = alone(judging);
  for (const { concepts } of module.steps) {
    const ids = concepts.map((concept) => concept.id).filter((id) => judging.concepts[id]);
    const step = compileStep(judging, ids, pack);
    const patterns = compileStep(patternsAlone, ids, pack);
    // A learner tells one point after the other; none may spoil its neighbour.
    const whole = ids.map((id) => judging.concepts[id]!.says).join(' ');
    for (const finding of judge(whole, step, pack))
      if (finding.label !== 'understood')
        problems.push({
          file,
          path: `concepts["${finding.concept}"].says`,
          problem: `told together with the other points of its step it is judged ${finding.label} (${finding.reason}); narrow the pattern that reaches across`,
        });
    for (const id of ids) {
      const concept = judging.concepts[id]!;
      const right = [
        { path: 'says', text: concept.says },
        ...concept.accept.map((text, index) => ({ path: `accept[${index}]`, text })),
      ];
      for (const { path, text } of right) {
        for (const finding of judge(text, patterns, pack)) {
          const where = `concepts["${id}"].${path}`;
          if (finding.concept === id && finding.label !== 'understood')
            problems.push({
              file,
              path: where,
              problem: `"${text}" is judged ${finding.label} (${finding.reason}); widen the parts or change the phrase`,
            });
          if (finding.concept !== id && finding.label === 'understood')
            problems.push({
              file,
              path: where,
              problem: `"${text}" also earns ${finding.concept}; leave that out of the phrase or narrow its parts`,
            });
        }
      }
      concept.contradictions.forEach((item, index) => {
        for (const text of [item.says, ...(item.phrases ?? [])]) {
          const finding = judge(text, text === item.says ? patterns : step, pack).find(
            (one) => one.concept === id,
          )!;
          if (finding.label !== 'misconception')
            problems.push({
              file,
              path: `concepts["${id}"].contradictions[${index}] ${item.id}`,
              problem: `"${text}" is judged ${finding.label} (${finding.reason}); its patterns must find it`,
            });
        }
      });
    }
  }
  return problems;
}
