import { join } from 'node:path';
import createModule from 'soundswallower';
import type { JudgingFile } from '../../phrasebanks/judging';
import type { TeachingFile } from '../../phrasebanks/schema';
import { spokenAbout } from '../../phrasebanks/spoken';
import type { Sound } from '../hearing/audio/wav';
import { modelFile } from '../hearing/embedded/model-files';
import { modelFor } from '../hearing/embedded/models';
import { packageFolder } from '../hearing/embedded/package-folder';
import type { AnswerPhrases } from '../hearing/embedded/phrases';
import { Recogniser, type Turn } from '../hearing/embedded/sphinx/recogniser';
import { modelFiles } from '../hearing/embedded/transformer/files';
import { TransformerRecogniser, type TransformerTurn } from '../hearing/embedded/transformer/recogniser';
import type { Heard } from '../hearing/types';
import { phrasesFor } from '../scoring';

/* The embedded recogniser in Node, hearing files just as it hears a microphone in the kiosk. */

/** The recogniser with the models of the installed packages. Rejects for a language without one. */
export const openRecogniser = (language: string): Promise<TransformerRecogniser | Recogniser> =>
  modelFor(language)?.reader === 'transformer' ? openTransformer(language) : openSphinx(language);

/** That of the languages which soundswallower hears. */
export const openSphinx = (language: string): Promise<Recogniser> =>
  Recogniser.open({ createModule, modelBase: join(packageFolder('soundswallower'), 'model/') }, language);

/** That of the languages which a transformer reads. */
export async function openTransformer(language: string): Promise<TransformerRecogniser> {
  const model = modelFor(language)!;
  return TransformerRecogniser.open({
    files: {
      encoder: await modelFile(model, modelFiles.encoder),
      decoder: await modelFile(model, modelFiles.decoder),
    },
    module: await createModule({ print: () => {}, printErr: () => {} }),
  });
}

/** Ids of a module's steps, in the order of its file. */
export const stepsOf = (judging: JudgingFile): string[] => [
  ...new Set(Object.keys(judging.concepts).map((id) => id.split('.')[1]!)),
];

/** Ids of the concepts of one step. */
export const conceptsOf = (judging: JudgingFile, step: string): string[] =>
  Object.keys(judging.concepts).filter((id) => id.startsWith(`${judging.module}.${step}.`));

/** What is listened for when a whole step is asked. */
export const expected = (judging: JudgingFile, teaching: TeachingFile, step: string): AnswerPhrases => ({
  step: phrasesFor(judging, conceptsOf(judging, step)),
  module: spokenAbout(judging, teaching),
});

/** Gives a sound to a turn in chunks of 50 ms and takes the reading. Undefined when there was no speech. */
export async function hearSound(
  turn: TransformerTurn | Turn,
  { sampleRate, samples }: Sound,
): Promise<Heard | undefined> {
  const chunk = Math.round(sampleRate / 20);
  for (let at = 0; at < samples.length; at += chunk) turn.push(samples.slice(at, at + chunk));
  return turn.finish();
}
