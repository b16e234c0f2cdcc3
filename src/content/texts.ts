import type { TeachingFile } from '../../phrasebanks/schema';

/** A text of a teaching file with its place. */
export interface Placed {
  path: string;
  text: string;
}

const list = (path: string, texts: readonly string[]): Placed[] =>
  texts.map((text, index) => ({ path: `${path}[${index}]`, text }));
const record = (path: string, texts: Readonly<Record<string, string>> = {}): Placed[] =>
  Object.entries(texts).map(([key, text]) => ({ path: `${path}["${key}"]`, text }));

/** Everything a caption shows, one sentence each. */
export const captionsOf = (teaching: TeachingFile): Placed[] => [
  ...Object.entries(teaching.steps).flatMap(([id, step]) => [
    ...list(`steps.${id}.teach`, step.teach),
    ...list(`steps.${id}.simplest`, step.simplest),
  ]),
  ...Object.entries(teaching.concepts).flatMap(([id, one]) => [
    ...one.again.flatMap((texts, way) => list(`concepts["${id}"].again[${way}]`, texts)),
    ...record(`concepts["${id}"].correct`, one.correct),
  ]),
  ...teaching.answers.flatMap((answer, index) => list(`answers[${index}].says`, answer.says)),
  ...list('handout.care', teaching.handout.care),
  ...list('handout.whenToCall', teaching.handout.whenToCall),
];

/** Every question put to the learner. */
export const questionsOf = (teaching: TeachingFile): Placed[] => [
  ...Object.entries(teaching.steps).map(([id, step]) => ({
    path: `steps.${id}.question`,
    text: step.question,
  })),
  ...Object.entries(teaching.concepts).flatMap(([id, one]) => [
    { path: `concepts["${id}"].ask`, text: one.ask },
    ...record(`concepts["${id}"].askPart`, one.askPart),
  ]),
];

/** Texts that a learner hears as one piece: what readability is measured on. */
export const piecesOf = (teaching: TeachingFile): Placed[] => {
  const joined = (path: string, texts: readonly string[]): Placed => ({ path, text: texts.join(' ') });
  const concepts = Object.entries(teaching.concepts);
  return [
    ...Object.entries(teaching.steps).map(([id, step]) =>
      joined(`steps.${id}`, [...step.teach, ...step.simplest, step.question]),
    ),
    ...concepts.map(([id, one]) => joined(`concepts["${id}"].again`, one.again.flat())),
    joined(
      'all askPart',
      concepts.flatMap(([, one]) => [one.ask, ...Object.values(one.askPart ?? {})]),
    ),
    joined(
      'all correct',
      concepts.flatMap(([, one]) => Object.values(one.correct ?? {})),
    ),
    joined(
      'all answers',
      teaching.answers.flatMap((answer) => answer.says),
    ),
    joined('handout', [...teaching.handout.care, ...teaching.handout.whenToCall]),
  ];
};
