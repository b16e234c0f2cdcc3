import type { JudgingFile } from '../../phrasebanks/judging';
import { type CommonFile, type ModuleFile, type TeachingFile, visitSlots } from '../../phrasebanks/schema';
import type { Problem } from './problem';

/** What is taught, in which order and by whom it is said: all files of a module in one language. */
export interface LanguageFiles {
  module: ModuleFile;
  teaching: TeachingFile;
  judging: JudgingFile;
  common: CommonFile;
}

const slot = /\{(\w+)\}/g;

function difference(what: string, has: readonly string[], wants: readonly string[]): string[] {
  const missing = wants.filter((id) => !has.includes(id));
  const extra = has.filter((id) => !wants.includes(id));
  return [
    ...missing.map((id) => `${what} "${id}" is missing; add it`),
    ...extra.map((id) => `${what} "${id}" is unknown; remove it or check its spelling`),
  ];
}

/** Do the files of a language speak of the same steps, concepts, parts and mistakes? `pictures`: files there are. */
export function completeness(
  { module, teaching, judging }: LanguageFiles,
  pictures: ReadonlySet<string>,
): Problem[] {
  const { language } = teaching;
  const file = (kind: string) => `phrasebanks/${module.id}/${kind}`;
  const problems: Problem[] = [];
  const tell = (name: string, path: string, found: readonly string[]): void => {
    for (const problem of found) problems.push({ file: file(name), path, problem });
  };
  const teachingName = `${language}.teaching.json`;
  const judgingName = `${language}.judging.json`;
  const steps = module.steps.map((step) => step.id);
  const concepts = module.steps.flatMap((step) => step.concepts.map((concept) => concept.id));

  tell(
    'module.json',
    'steps',
    module.steps
      .filter((step) => !pictures.has(step.picture))
      .map((step) => `public/pictures/${step.picture} does not exist; draw it or name another picture`),
  );
  if (module.sources.length === 0)
    tell('module.json', 'sources', ['there is none; name where the facts come from']);
  tell(teachingName, 'steps', difference('step', Object.keys(teaching.steps), steps));
  tell(teachingName, 'concepts', difference('concept', Object.keys(teaching.concepts), concepts));
  tell(teachingName, 'showMe', difference('point', Object.keys(teaching.showMe), module.showMe));
  tell(judgingName, 'concepts', difference('concept', Object.keys(judging.concepts), concepts));
  if (teaching.answers.length < 12)
    tell(teachingName, 'answers', [`${teaching.answers.length} approved answers; at least 12 are needed`]);

  for (const { id, quantities } of module.steps.flatMap((step) => step.concepts)) {
    const judged = judging.concepts[id];
    if (!judged) continue;
    const has = JSON.stringify(judged.quantities ?? []);
    const wants = JSON.stringify(quantities ?? []);
    // "of" is what is counted, in the words of the language.
    const bare = (text: string): string => text.replace(/"of":"[^"]*",?/g, '');
    if (quantities && bare(has) !== bare(wants))
      tell(judgingName, `concepts["${id}"].quantities`, [`${has} differs from module.json: ${wants}`]);
    const taught = teaching.concepts[id];
    if (!taught) continue;
    const path = `concepts["${id}"]`;
    const parts = judged.parts.map((part) => part.id);
    tell(teachingName, `${path}.askPart`, difference('part', Object.keys(taught.askPart ?? {}), parts));
    const slips = judged.contradictions.map((item) => item.id);
    tell(teachingName, `${path}.correct`, difference('mistake', Object.keys(taught.correct ?? {}), slips));
  }
  for (const [name, content] of [
    [teachingName, teaching],
    [judgingName, judging],
  ] as const) {
    const used = new Set([...JSON.stringify(content).matchAll(slot)].map((match) => match[1]!));
    const known: readonly string[] = name === teachingName ? visitSlots : [];
    tell(
      name,
      '',
      // In a pattern {12} is a width.
      [...used]
        .filter((id) => !known.includes(id) && !/^\d+$/.test(id))
        .map((id) => `{${id}} is no slot; slots are ${visitSlots.map((one) => `{${one}}`).join(' ')}`),
    );
  }
  return problems;
}

/** Do two languages teach the same answers? */
export function sameAnswers(module: string, one: TeachingFile, other: TeachingFile): Problem[] {
  const ids = (teaching: TeachingFile) => teaching.answers.map((answer) => answer.id);
  return difference('answer', ids(other), ids(one)).map((problem) => ({
    file: `phrasebanks/${module}/${other.language}.teaching.json`,
    path: 'answers',
    problem: `${problem} (as in ${one.language})`,
  }));
}
