import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { readJudging, readTeaching } from '../../phrasebanks/read';
import { expected, hearSound, openTransformer } from '../../src/commands/listening';
import { readWav, type Sound } from '../../src/hearing/audio/wav';
import { tokens } from '../../src/hearing/embedded/tokens';
import { believed, cluesOf, turnCluesOf } from '../../src/hearing/embedded/transformer/trust';
import { calibrationError } from './agreement';
import { corpus, type Row } from './corpus';
import { fitted } from './logistic';
import { mixed } from './noise';
import { clipsOf } from './outside-speech';
import { wordErrors } from './wer';

/*
 * npx tsx tests/bench/hearing-trust.ts [--answers 160]
 * Fits the weights of src/hearing/embedded/transformer/trust.ts and prints them: on answers that were written to be
 * learned from, spoken by three voices of flite, in turn clean and among dishes at 20, 10 and 5 dB, and on people who
 * speak of other things (../shared/datasets). Tried on the other half first.
 */

const { values: options } = parseArgs({ options: { answers: { type: 'string', default: '160' } } });
const most = Number(options.answers);
const voices = ['slt', 'rms', 'awb'];
const rooms = ['clean', 20, 10, 5, 'clean', 10] as const;
const folder = join(tmpdir(), 'ownwords-bench-trust');
mkdirSync(folder, { recursive: true });

const every = <T>(list: readonly T[], count: number): T[] =>
  list.filter(
    (_, i) => Math.floor((i * count) / list.length) !== Math.floor(((i - 1) * count) / list.length),
  );

const rows = every(
  corpus('learned').filter((row) => row.text.split(/\s+/).length < 40),
  most,
);
const clips = every(
  (['read_en', 'speechocean762', 'asterisk'] as const).flatMap((set) => clipsOf(set).clips),
  most,
);
if (clips.length === 0)
  console.log('people who speak of other things are not there: the weights would be too kind');

function spoken(row: Row, i: number): Sound {
  const voice = voices[i % voices.length]!;
  const room = rooms[Math.floor(i / voices.length) % rooms.length]!;
  const file = join(folder, `${voice}-${row.id}.wav`);
  if (!existsSync(file))
    execFileSync('flite', ['-voice', voice, '-t', row.text.replace(/911/g, '9 1 1'), '-o', file]);
  return readWav(
    readFileSync(room === 'clean' ? file : mixed(file, room, join(folder, `${voice}-${row.id}-${room}.wav`))),
  );
}

const recogniser = await openTransformer('en');
const words: { clues: number[]; right: boolean; half: number }[] = [];
const turns: { clues: number[]; right: boolean; half: number }[] = [];
async function hear(row: Row, sound: Sound, said: readonly string[], half: number): Promise<void> {
  const { module, step } = row;
  recogniser.expect(expected(readJudging(module, 'en'), readTeaching(module, 'en'), step));
  const turn = recogniser.turn(sound.sampleRate);
  const heard = await hearSound(turn, sound);
  if (!heard) return;
  const clues = cluesOf(turn.words);
  turn.words.forEach(({ word }, i) => {
    words.push({ clues: clues[i]!, right: tokens(word).every((each) => said.includes(each)), half });
  });
  const read = tokens(heard.text);
  const right = wordErrors(said, read).hits >= read.length / 2;
  turns.push({ clues: turnCluesOf(turn.words), right, half });
}
for (const [i, row] of rows.entries()) await hear(row, spoken(row, i), tokens(row.text), i % 2);
for (const [i, { file, said }] of clips.entries())
  await hear(rows[(7 * i) % rows.length]!, readWav(readFileSync(file)), said, i % 2);

/** Share of pairs, one right and one wrong, in which the right one is believed more. */
function areaUnderCurve(trusts: readonly { confidence: number; right: boolean }[]): number {
  const sorted = [...trusts].sort((a, b) => a.confidence - b.confidence);
  const right = sorted.filter((each) => each.right).length;
  const ranks = sorted.reduce((sum, each, i) => sum + (each.right ? i + 1 : 0), 0);
  return (ranks - (right * (right + 1)) / 2) / (right * (sorted.length - right));
}

for (const [name, cases] of [
  ['words', words],
  ['turns', turns],
] as const) {
  const half = fitted(cases.filter((each) => each.half === 0));
  const tried = cases
    .filter((each) => each.half === 1)
    .map(({ clues, right }) => ({ confidence: believed(half, clues), right }));
  const bins = [0.2, 0.4, 0.6, 0.8, 1].map((to) => {
    const inside = tried.filter(({ confidence }) => confidence <= to && confidence > to - 0.2);
    const mean = (values: number[]) => (values.reduce((a, b) => a + b, 0) / values.length).toFixed(2);
    return `${mean(inside.map(({ confidence }) => confidence))} in ${mean(inside.map(({ right }) => Number(right)))}`;
  });
  console.log(
    `${name}: ${cases.length}, ${cases.filter(({ right }) => right).length} right; tried on the other half: those said to be right with ${bins.join(', ')} of cases, area under the curve ${areaUnderCurve(tried).toFixed(2)}, calibration error ${calibrationError(tried).toFixed(3)}`,
  );
  console.log(
    `  weights of all: [${fitted(cases)
      .map((weight) => weight.toFixed(3))
      .join(', ')}]`,
  );
}
