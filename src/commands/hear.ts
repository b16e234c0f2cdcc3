import { existsSync, readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { modules, readJudging, readTeaching } from '../../phrasebanks/read';
import { readWav } from '../hearing/audio/wav';
import { modelFor } from '../hearing/embedded/models';
import { expected, hearSound, openRecogniser, stepsOf } from './listening';

/*
 * npm run -s hear -- --module inhaler-spacer --step puff --language en a.wav b.wav
 * Hears recordings as the kiosk would. One line of JSON a file; exit status 1 when a file could not be heard.
 */

const usage = 'usage: npm run -s hear -- --module <module> --step <step> [--language en|fr] <file.wav>...';

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
  const steps = stepsOf(judging);
  if (!steps.includes(step)) fail(`module "${module}" has no step "${step}"; there are: ${steps.join(', ')}`);
  return expected(judging, readTeaching(module, language), step);
}

const { values, positionals: files } = options();
if (!values.module || !values.step) fail('--module and --step are needed');
if (files.length === 0) fail('no files');
if (!modelFor(values.language)) fail(`no acoustic model for the language "${values.language}"`);
const phrases = phrasesOf(values.module, values.step, values.language);
const recogniser = await openRecogniser(values.language);
recogniser.expect(phrases);

for (const file of files) {
  try {
    if (!existsSync(file)) throw new Error('there is no such file');
    const sound = readWav(readFileSync(file));
    const start = performance.now();
    const heard = await hearSound(recogniser.turn(sound.sampleRate), sound);
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
