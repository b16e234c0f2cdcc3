import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import createModule from 'soundswallower';
import { judgedIn, readJudging, readSpoken, readTeaching } from '../../phrasebanks/read';
import { answersTo, spokenAbout } from '../../phrasebanks/spoken';
import { Resampler } from '../../src/hearing/audio/resample';
import { readWav, type Sound } from '../../src/hearing/audio/wav';
import { Recogniser } from '../../src/hearing/embedded/recogniser';
import { tokens } from '../../src/hearing/embedded/tokens';
import { compileStep, judge, judgeHeard, type Label, languagePack, phrasesFor } from '../../src/scoring';
import { calibrationError } from './agreement';
import { corpus } from './corpus';
import { mixed } from './noise';
import { addErrors, type WordErrors, wordErrorRate, wordErrors } from './wer';

/*
 * npm run -s bench:hear [-- --set author|check --module M --every 3 --noise 10 --show]
 * How well does the embedded recogniser hear answers that are in no phrasebank, and what becomes of their labels?
 * Rows under 40 words, rendered with three voices of flite; --noise mixes household noise at so many dB.
 * Beside it PocketSphinx with its general model (Debian: pocketsphinx, pocketsphinx-en-us), where installed.
 */

const option = (name: string) => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? undefined : (process.argv[at + 1] ?? '');
};
const every = Number(option('every') ?? 1);
const set = option('set') === 'author' ? 'author' : 'check';
const noise = option('noise') === undefined ? null : Number(option('noise'));
const show = process.argv.includes('--show');
if (show && set === 'check') throw new Error('rows of the check set are not to be looked at');
const pack = languagePack('en')!;

const rows = corpus(set).filter(
  (row) => row.text.split(/\s+/).length < 40 && (!option('module') || row.module === option('module')),
);
const folder = join(tmpdir(), 'ownwords-bench-hearing');
mkdirSync(folder, { recursive: true });

/** The answer as a WAV file, 16 bit mono at 16 kHz. */
function spoken(voice: string, id: string, text: string): string {
  const file = join(folder, `${voice}-${id}.wav`);
  // The voice reads "911" as a number; people do not.
  if (!existsSync(file))
    execFileSync('flite', ['-voice', voice, '-t', text.replace(/911/g, '9 1 1'), '-o', file]);
  return noise === null ? file : mixed(file, noise, join(folder, `${voice}-${id}-${noise}.wav`));
}

const sphinx = '/usr/share/pocketsphinx/model/en-us';
const hasSphinx = existsSync(sphinx) && spawnSync('which', ['pocketsphinx_continuous']).status === 0;
/** What PocketSphinx hears; its readings are kept beside the sound. */
function general(file: string): string {
  const kept = `${file}.txt`;
  if (!existsSync(kept)) {
    const sound = readWav(readFileSync(file));
    const at16 = join(folder, 'general.raw');
    const resampler = new Resampler(sound.sampleRate, 16_000);
    const samples = [...resampler.push(sound.samples), ...resampler.flush()];
    writeFileSync(at16, Buffer.from(Int16Array.from(samples, (x) => Math.round(x * 32_767)).buffer));
    const run = spawnSync(
      'pocketsphinx_continuous',
      [
        ['-infile', at16],
        ['-hmm', join(sphinx, 'en-us')],
        ['-lm', join(sphinx, 'en-us.lm.bin')],
        ['-dict', join(sphinx, 'cmudict-en-us.dict')],
        ['-logfn', '/dev/null'],
      ].flat(),
      { encoding: 'utf8' },
    );
    writeFileSync(kept, run.stdout.replace(/\n/g, ' ').trim());
  }
  return readFileSync(kept, 'utf8');
}

const modelBase = join(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model/');
const recogniser = await Recogniser.open({ createModule, modelBase }, 'en');
const banks = new Map(judgedIn('en').map((module) => [module, readJudging(module, 'en')] as const));
const wholes = new Map(
  [...new Set(rows.map((row) => row.module))].map((module) => [
    module,
    spokenAbout(banks.get(module)!, readTeaching(module, 'en')),
  ]),
);

const hears = new Map<string, WordErrors[]>();
const generals: WordErrors[] = [];
const pairs: { typed: Label; heard: Label; confidence: number; right: boolean }[] = [];
const wordTrust: { confidence: number; right: boolean }[] = [];
let seconds = 0;
let decoding = 0;
const finishes: number[] = [];
let count = 0;
const byStep = [...rows].sort((a, b) => `${a.module} ${a.step}`.localeCompare(`${b.module} ${b.step}`));
for (const row of byStep) {
  const judging = banks.get(row.module)!;
  const concepts = Object.keys(row.labels);
  recogniser.expect({
    step: phrasesFor(judging, concepts),
    answers: answersTo(readSpoken(row.module, 'en'), row.step),
    module: wholes.get(row.module)!,
  });
  const step = compileStep(judging, concepts, pack);
  const typed = judge(row.text, step, pack);
  for (const voice of ['slt', 'rms', 'awb']) {
    if (count++ % every !== 0) continue;
    const file = spoken(voice, row.id, row.text);
    const sound: Sound = readWav(readFileSync(file));
    const turn = recogniser.turn(sound.sampleRate);
    const start = performance.now();
    const chunk = Math.round(sound.sampleRate / 20);
    for (let at = 0; at < sound.samples.length; at += chunk) turn.push(sound.samples.slice(at, at + chunk));
    const end = performance.now();
    const heard = turn.finish();
    finishes.push(performance.now() - end);
    decoding += performance.now() - start;
    seconds += sound.samples.length / sound.sampleRate;
    const said = tokens(row.text);
    const errors = wordErrors(said, tokens(heard?.text ?? ''));
    hears.set(voice, [...(hears.get(voice) ?? []), errors]);
    if (hasSphinx) generals.push(wordErrors(said, tokens(general(file))));
    for (const { word, confidence } of heard?.words ?? [])
      wordTrust.push({ confidence, right: said.includes(word) });
    const findings = heard
      ? judgeHeard(heard, step, pack)
      : typed.map((finding) => ({ ...finding, label: 'missed' as const, confidence: 1 }));
    findings.forEach((finding, k) => {
      const label = typed[k]!.label;
      pairs.push({
        typed: label,
        heard: finding.label,
        confidence: finding.confidence,
        right: row.labels[finding.concept] === finding.label,
      });
    });
    if (show)
      console.log(
        `${voice} ${wordErrorRate(errors).toFixed(2)} ${heard?.confidence.toFixed(2)}\n  ${said.join(' ')}\n  ${heard?.text}`,
      );
  }
}

const percent = (part: number, whole: number) => `${((100 * part) / whole).toFixed(1)} %`;
const wrong = (errors: WordErrors[]) => `${(100 * wordErrorRate(addErrors(errors))).toFixed(1)} %`;
console.log(
  `${set} set, ${rows.length} answers under 40 words, ${noise === null ? 'clean' : `household noise at ${noise} dB`}`,
);
for (const [voice, errors] of hears) console.log(`${voice}: ${wrong(errors)} of words wrong`);
const all = [...hears.values()].flat();
console.log(`all: ${wrong(all)}`, JSON.stringify(addErrors(all)));
console.log(
  hasSphinx
    ? `PocketSphinx with its general model on the same files: ${wrong(generals)}`
    : 'PocketSphinx is not installed here (apt-get install pocketsphinx pocketsphinx-en-us): not compared',
);
const same = pairs.filter(({ typed, heard }) => typed === heard).length;
const unsafe = pairs.filter(
  ({ typed, heard }) => heard === 'understood' && (typed === 'missed' || typed === 'misconception'),
).length;
console.log(
  `labels from the heard answer as from the typed one: ${percent(same, pairs.length)} of ${pairs.length}; understood where typed was missed or misconception: ${percent(unsafe, pairs.length)}`,
);
console.log(
  `calibration error of heard findings ${calibrationError(pairs).toFixed(3)}, of heard words ${calibrationError(wordTrust).toFixed(3)}`,
);
finishes.sort((a, b) => a - b);
console.log(
  `${(decoding / 1000 / seconds).toFixed(3)} x real time over ${seconds.toFixed(0)} s of sound; finish: median ${finishes[Math.floor(finishes.length / 2)]?.toFixed(0)} ms, slowest ${finishes.at(-1)?.toFixed(0)} ms`,
);
