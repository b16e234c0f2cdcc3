import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import createModule from 'soundswallower';
import { readJudging, readTeaching } from '../../phrasebanks/read';
import { spokenAbout } from '../../phrasebanks/spoken';
import { readWav, type Sound } from '../../src/hearing/audio/wav';
import { Recogniser } from '../../src/hearing/embedded/recogniser';
import { tokens } from '../../src/hearing/embedded/tokens';
import { phrasesFor } from '../../src/scoring';
import { addErrors, type WordErrors, wordErrorRate, wordErrors } from './wer';

/*
 * How well does the embedded recogniser hear answers that are in no phrasebank?
 * Usage: npx tsx tests/bench/hearing.ts [--every 3] [--show] [--words out.json]
 * The authors' rows of the corpus, under 40 words, rendered with three voices of flite.
 */

const option = (name: string) => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? undefined : (process.argv[at + 1] ?? '');
};
const every = Number(option('every') ?? 1);
const module = option('module') ?? 'inhaler-spacer';

interface Row {
  id: string;
  module: string;
  step: string;
  text: string;
}

const corpus = join(import.meta.dirname, '../corpora/teachback-en.author.jsonl');
const rows = readFileSync(corpus, 'utf8')
  .trim()
  .split('\n')
  .map((line) => JSON.parse(line) as Row)
  .filter((row) => row.module === module && row.text.split(/\s+/).length < 40);

const folder = join(tmpdir(), 'ownwords-bench-hearing');
mkdirSync(folder, { recursive: true });

function spoken(voice: string, row: Row): Sound {
  const file = join(folder, `${voice}-${row.id}.wav`);
  // The voice reads "911" as a number; people do not.
  execFileSync('flite', ['-voice', voice, '-t', row.text.replace(/911/g, '9 1 1'), '-o', file]);
  return readWav(readFileSync(file));
}

const judging = readJudging(module, 'en');
const concepts = Object.keys(judging.concepts);
const whole = spokenAbout(judging, readTeaching(module, 'en'));
const modelBase = join(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model/');
const recogniser = await Recogniser.open({ createModule, modelBase }, 'en');

const byVoice = new Map<string, WordErrors[]>();
let seconds = 0;
let decoding = 0;
let slowest = 0;
let count = 0;
for (const row of [...rows].sort((a, b) => a.step.localeCompare(b.step))) {
  recogniser.expect({
    step: phrasesFor(
      judging,
      concepts.filter((id) => id.startsWith(`${module}.${row.step}.`)),
    ),
    module: whole,
  });
  for (const voice of ['slt', 'rms', 'awb']) {
    if (count++ % every !== 0) continue;
    const sound = spoken(voice, row);
    const turn = recogniser.turn(sound.sampleRate);
    const start = performance.now();
    const chunk = Math.round(sound.sampleRate / 20);
    for (let at = 0; at < sound.samples.length; at += chunk) turn.push(sound.samples.slice(at, at + chunk));
    const end = performance.now();
    const heard = turn.finish();
    slowest = Math.max(slowest, performance.now() - end);
    decoding += performance.now() - start;
    seconds += sound.samples.length / sound.sampleRate;
    const errors = wordErrors(tokens(row.text), tokens(heard?.text ?? ''));
    byVoice.set(voice, [...(byVoice.get(voice) ?? []), errors]);
    if (process.argv.includes('--show'))
      console.log(
        `${voice} ${wordErrorRate(errors).toFixed(2)} ${heard?.confidence.toFixed(2)}\n  ${tokens(row.text).join(' ')}\n  ${heard?.text}`,
      );
  }
}

const percent = (errors: WordErrors[]) => `${(100 * wordErrorRate(addErrors(errors))).toFixed(1)} %`;
for (const [voice, errors] of byVoice) console.log(`${voice}: ${percent(errors)} of words wrong`);
const all = [...byVoice.values()].flat();
console.log(`all: ${percent(all)}`, JSON.stringify(addErrors(all)));
console.log(
  `${(decoding / 1000 / seconds).toFixed(3)} x real time over ${seconds.toFixed(0)} s of sound; slowest finish ${slowest.toFixed(0)} ms`,
);
