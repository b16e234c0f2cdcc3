import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { parseArgs } from 'node:util';
import createModule from 'soundswallower';
import { modules, readJudging, readSpoken, readTeaching } from '../../phrasebanks/read';
import { answersTo, spokenAbout } from '../../phrasebanks/spoken';
import { readWav, type Sound } from '../hearing/audio/wav';
import { modelFor } from '../hearing/embedded/decoder';
import { Recogniser } from '../hearing/embedded/recogniser';
import { phrasesFor } from '../scoring';

/*
 * npm run -s hear -- --module inhaler-spacer --step puff --language en a.wav b.wav
 * Hears recordings as the kiosk would. One line of JSON a file; exit status 1 when a file could not be heard.
 */

const usage = 'usage: npm run -s hear -- --module <module> --step <step> [--language en] <file.wav>...';

function fail(problem: string): never {
  process.stderr.write(`${problem}\n${usage}\n`);
  process.exit(2);
}

function options() {
  try {
    return parseArgs({
      allowPositionals: true,
      options: {
        module: { type: 'string' },
        step: { type: 'string' },
        language: { type: 'string', default: 'en' },
      },
    });
  } catch (error) {
    return fail(message(error));
  }
}

function message(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

function phrasesOf(module: string, step: string, language: string) {
  if (!modules().includes(module)) fail(`no module "${module}"; there are: ${modules().join(', ')}`);
  const judging = readJudging(module, language);
  const concepts = Object.keys(judging.concepts);
  const ofStep = concepts.filter((id) => id.startsWith(`${module}.${step}.`));
  if (ofStep.length === 0) {
    const steps = [...new Set(concepts.map((id) => id.split('.')[1]))];
    fail(`module "${module}" has no step "${step}"; there are: ${steps.join(', ')}`);
  }
  const spoken = readSpoken(module, language);
  return {
    step: phrasesFor(judging, ofStep),
    answers: answersTo(spoken, step),
    module: spokenAbout(judging, readTeaching(module, language)),
  };
}

/** In chunks as from a microphone, so that what is measured here is what the kiosk does. */
function hear(recogniser: Recogniser, sound: Sound) {
  const turn = recogniser.turn(sound.sampleRate);
  const chunk = Math.round(sound.sampleRate / 20);
  for (let at = 0; at < sound.samples.length; at += chunk) turn.push(sound.samples.slice(at, at + chunk));
  return turn.finish();
}

const { values, positionals: files } = options();
if (!values.module || !values.step) fail('--module and --step are needed');
if (files.length === 0) fail('no files');
if (!modelFor(values.language)) fail(`no acoustic model for the language "${values.language}"`);
const phrases = phrasesOf(values.module, values.step, values.language);
const folder = dirname(createRequire(import.meta.url).resolve('soundswallower'));
const recogniser = await Recogniser.open(
  { createModule, modelBase: join(folder, 'model/') },
  values.language,
);
recogniser.expect(phrases);

for (const file of files) {
  try {
    if (!existsSync(file)) throw new Error('there is no such file');
    const sound = readWav(readFileSync(file));
    const start = performance.now();
    const heard = hear(recogniser, sound);
    const line = {
      file,
      text: heard?.text ?? '',
      confidence: heard?.confidence ?? 0,
      words: heard?.words ?? [],
      audioMs: Math.round((1000 * sound.samples.length) / sound.sampleRate),
      decodeMs: Math.round(performance.now() - start),
    };
    process.stdout.write(`${JSON.stringify(line)}\n`);
  } catch (error) {
    process.exitCode = 1;
    process.stdout.write(`${JSON.stringify({ file, error: message(error) })}\n`);
  }
}
