import { existsSync, readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { modules, readJudging, readTeaching } from '../../phrasebanks/read';
import { readWav } from '../hearing/audio/wav';
import { modelFor } from '../hearing/embedded/models';

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

const { values, positionals: files } = options();
if (!values.module || !values.step) fail('--module and --step are needed');
if (files.length === 0) fail('no files');
if (!modelFor(values.language)) fail(`no acoustic model for the language "${values.language}"`);
if (!modules().includes(values.module))
  fail(`no module "${values.module}"; there are: ${modules().join(', ')}`);
const judging = readJudging(values.module, values.language);
// What hears is dear to load: whoever asks amiss is told so without.
const { expected, hearSound, openRecogniser, stepsOf } = await import('./listening');
const steps = stepsOf(judging);
if (!steps.includes(values.step))
  fail(`module "${values.module}" has no step "${values.step}"; there are: ${steps.join(', ')}`);
const recogniser = await openRecogniser(values.language);
recogniser.expect(expected(judging, readTeaching(values.module, values.language), values.step));

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
