import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readJudging, readTeaching } from '../../phrasebanks/read';
import { expected, hearSound, openDecoder } from '../../src/commands/listening';
import { readWav, type Sound } from '../../src/hearing/audio/wav';
import { Recogniser } from '../../src/hearing/embedded/recogniser';
import { tokens } from '../../src/hearing/embedded/tokens';
import { compileStep, judge, judgeHeard, type Label, languagePack } from '../../src/scoring';
import { calibrationError } from './agreement';
import { corpus } from './corpus';
import { mixed } from './noise';
import { hasSphinx, noSphinx, sphinxHears } from './sphinx';
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

const recogniser = new Recogniser(await openDecoder('en'));

const hears = new Map<string, WordErrors[]>();
const heardBy: { said: string[]; sound: Sound }[] = [];
const pairs: { typed: Label; heard: Label; confidence: number; right: boolean }[] = [];
const wordTrust: { confidence: number; right: boolean }[] = [];
let seconds = 0;
let decoding = 0;
let count = 0;
const byStep = [...rows].sort((a, b) => `${a.module} ${a.step}`.localeCompare(`${b.module} ${b.step}`));
for (const row of byStep) {
  const judging = readJudging(row.module, 'en');
  const concepts = Object.keys(row.labels);
  recogniser.expect(expected(judging, readTeaching(row.module, 'en'), row.step));
  const step = compileStep(judging, concepts, pack);
  const typed = judge(row.text, step, pack);
  for (const voice of ['slt', 'rms', 'awb']) {
    if (count++ % every !== 0) continue;
    const file = spoken(voice, row.id, row.text);
    const sound: Sound = readWav(readFileSync(file));
    const turn = recogniser.turn(sound.sampleRate);
    const start = performance.now();
    const heard = hearSound(turn, sound);
    decoding += performance.now() - start;
    seconds += sound.samples.length / sound.sampleRate;
    const said = tokens(row.text);
    const errors = wordErrors(said, tokens(heard?.text ?? ''));
    hears.set(voice, [...(hears.get(voice) ?? []), errors]);
    heardBy.push({ said, sound });
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
if (hasSphinx) {
  const generals = sphinxHears(heardBy.map(({ sound }) => sound));
  const errors = generals.map((words, k) => wordErrors(heardBy[k]!.said, tokens(words.join(' '))));
  console.log(`PocketSphinx with its general model on the same files: ${wrong(errors)}`);
} else console.log(noSphinx);
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
console.log(`${(decoding / 1000 / seconds).toFixed(3)} x real time over ${seconds.toFixed(0)} s of sound`);
