import type { CommonFile, TeachingFile } from '../../phrasebanks/schema';
import type { Problem } from './problem';
import { count, isEasy, measuresOf, sentences, words } from './readability';
import { captionsOf, piecesOf, questionsOf } from './texts';

/** Words a minute at which teaching is spoken. */
const pace = 150;
/** The longest a step may sound, in seconds. */
export const longestStep = 35;
export const longestSentence = 16;

/** Text with its slots as they are usually said. */
export const filled = (text: string, { slots }: CommonFile): string =>
  text
    .replaceAll(/\{(callNumber|emergencyNumber)\}/g, '911')
    .replaceAll(/\{(\w+)\}/g, (whole, name: string) => (slots as Record<string, string>)[name] ?? whole);

/** Seconds a step's teaching takes. */
export const secondsOf = (teach: readonly string[], common: CommonFile): number =>
  (words(filled(teach.join(' '), common)).length / pace) * 60;

const finders = new Map<string, RegExp>();

/** `word` has the apostrophe of a keyboard, a text that of print. */
function has(text: string, word: string): boolean {
  let finder = finders.get(word);
  if (!finder) {
    finder = new RegExp(`(?<![\\p{L}])${word}(?![\\p{L}])`, 'iu');
    finders.set(word, finder);
  }
  return finder.test(text.replaceAll('’', "'"));
}

/** From this share of common long words on, two ways to teach a concept again are one way told twice. */
const sameWay = 0.5;

/** Share of the rarer text's long words that the other has too; names, which both need, are left out. */
function alike(one: readonly string[], other: readonly string[], names: readonly string[]): number {
  const subject = new Set(names.flatMap((name) => words(name.toLowerCase())));
  const key = (texts: readonly string[]) =>
    new Set(words(texts.join(' ').toLowerCase()).filter((word) => word.length > 4 && !subject.has(word)));
  const [first, second] = [key(one), key(other)];
  const shared = [...first].filter((word) => second.has(word)).length;
  return shared / Math.max(1, Math.min(first.size, second.size));
}

/** Is it short, easy, open and kind enough to be heard? */
export function spokenProblems(module: string, teaching: TeachingFile, common: CommonFile): Problem[] {
  const file = `phrasebanks/${module}/${teaching.language}.teaching.json`;
  const problems: Problem[] = [];
  const tell = (path: string, problem: string): void => {
    problems.push({ file, path, problem });
  };
  const said = (text: string): string => filled(text, common);

  for (const { path, text } of [...captionsOf(teaching), ...questionsOf(teaching)]) {
    for (const sentence of sentences(said(text))) {
      const size = words(sentence).length;
      if (size > longestSentence)
        tell(path, `${size} words; say it in two sentences of at most ${longestSentence}`);
    }
  }
  for (const { path, text } of captionsOf(teaching))
    if (sentences(text).length !== 1) tell(path, 'one caption is one sentence; make it two entries');
  for (const [id, step] of Object.entries(teaching.steps)) {
    const seconds = secondsOf(step.teach, common);
    if (seconds > longestStep)
      tell(`steps.${id}.teach`, `takes ${Math.round(seconds)} s to say; shorten it to ${longestStep} s`);
    if (words(step.simplest.join(' ')).length >= words(step.teach.join(' ')).length)
      tell(`steps.${id}.simplest`, 'is no shorter than the teaching');
  }
  for (const [id, { again }] of Object.entries(teaching.concepts))
    if (alike(again[0], again[1], [...teaching.names, teaching.title, teaching.device]) > sameWay)
      tell(`concepts["${id}"].again`, 'the two ways share most of their words; find another approach');
  for (const { path, text } of questionsOf(teaching)) {
    const question = sentences(said(text)).at(-1) ?? '';
    const [open, closed] = [common.questions.open, common.questions.closed];
    const first = words(question)[0]?.toLowerCase() ?? '';
    if (!question.endsWith('?')) tell(path, 'ends with no question mark');
    else if (closed.includes(first) || !open.some((word) => has(question, word)))
      tell(path, `can be answered with yes or no; ask with ${open.slice(0, 4).join(', ')} ...`);
  }
  for (const { path, text } of [...captionsOf(teaching), ...questionsOf(teaching)])
    for (const word of common.blame)
      if (has(text, word)) tell(path, `"${word}" blames; say what is right instead`);
  for (const { path, text } of piecesOf(teaching)) {
    for (const [word, plain] of Object.entries(common.plain))
      if (has(text, word) && !plain.some((one) => has(text, one)))
        tell(
          path,
          plain.length === 0
            ? `"${word}" is a word of the trade; use a plain one`
            : `"${word}" needs a plain word beside it: ${plain.join(' or ')}`,
        );
    const counts = count(said(text), teaching.language, teaching.names);
    for (const measure of measuresOf(teaching.language)) {
      const value = measure.value(counts);
      // SMOG counts long words over 30 sentences; over fewer than 10 it is no measure.
      if (measure.name.startsWith('SMOG') && counts.sentences < 10) continue;
      if (!isEasy(measure, value))
        tell(
          path,
          `${measure.name} ${value.toFixed(1)}; it must be ${measure.easy === 'below' ? 'at most' : 'at least'} ${measure.limit}: shorter words and sentences`,
        );
    }
  }
  return problems;
}
