import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { readCommon, readJudging, readTeaching } from '../../phrasebanks/read';
import { anytimePhrases } from '../../src/app/services/anytime';
import { conceptsOf, expected, hearSound, openRecogniser } from '../../src/commands/listening';
import { readWav } from '../../src/hearing/audio/wav';
import {
  answersInstead,
  compileStep,
  interpret,
  judge,
  languagePack,
  wordsOfAnswers,
  yesNo,
} from '../../src/scoring';
import { sayWith, type Voice } from '../browser/voices';
import { figure } from './figures';

/*
 * npm run -s bench:hear-commands [-- --step puff --file commands.tsv --sets seen,kept --print]
 * Voice commands, and answers that hold their words, spoken by three voices of flite and heard by the embedded
 * recogniser as the kiosk would while it asks about a step: how many are still taken for what they are.
 */

const { values } = parseArgs({
  options: {
    step: { type: 'string', default: 'puff' },
    file: { type: 'string', default: 'commands.tsv' },
    /** Of the file; left out: all. */
    sets: { type: 'string' },
    print: { type: 'boolean', default: false },
  },
});

if (spawnSync('flite', ['--version']).error) {
  console.log('flite is not installed (apt-get install flite): nobody speaks, nothing measured');
  process.exit(1);
}

const module = 'inhaler-spacer';
const voices: Voice[] = ['slt', 'rms', 'awb'];
const common = readCommon('en');
const pack = languagePack('en')!;
const judging = readJudging(module, 'en');
const step = compileStep(judging, conceptsOf(judging, values.step), pack);
const atStep = expected(judging, readTeaching(module, 'en'), values.step);
const about = wordsOfAnswers(judging, pack);
const anytime = anytimePhrases(common);
const recogniser = await openRecogniser('en');

const sets = values.sets?.split(',');
const rows = readFileSync(new URL(`../scoring/${values.file}`, import.meta.url), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split('\t'))
  .filter(([language, set = '']) => language === 'en' && (!sets || sets.includes(set)));

/** What the kiosk takes these words for. */
function taken(text: string, kind: 'answer' | 'yes-no'): string {
  const found = interpret(text, common, kind, pack, about);
  if (found.kind === 'distress') return 'distress';
  if (found.kind === 'answer') return (kind === 'yes-no' ? yesNo(text, common, pack) : null) ?? 'answer';
  const findings = judge({ text, confidence: 1, alternatives: [] }, step, pack);
  return kind === 'answer' && answersInstead(found.command, kind, text, findings, pack)
    ? 'answer'
    : found.command;
}

interface Count {
  commands: number;
  right: number;
  /** By the words as they are written. */
  typed: number;
  other: number;
  lost: number;
  answers: number;
  asCommand: number;
}
const bySet = new Map<string, Count>();
// A model is compiled for each kind of turn: all turns of one kind first.
for (const kind of ['answer', 'yes-no'] as const) {
  recogniser.expect(
    kind === 'answer'
      ? { ...atStep, step: [...atStep.step, ...anytime] }
      : { likely: [...common.commands.yes, ...common.commands.no], step: anytime, module: [] },
  );
  for (const [, set = '', meaning = '', text = ''] of rows) {
    if ((meaning === 'yes' || meaning === 'no') !== (kind === 'yes-no')) continue;
    const count = bySet.get(set) ?? {
      commands: 0,
      right: 0,
      typed: 0,
      other: 0,
      lost: 0,
      answers: 0,
      asCommand: 0,
    };
    bySet.set(set, count);
    // Words of distress call staff as a call for help does.
    const isRight = (got: string) => got === meaning || (meaning === 'help' && got === 'distress');
    for (const voice of voices) {
      const sound = readWav(readFileSync(sayWith(voice, text)));
      const heard = await hearSound(recogniser.turn(sound.sampleRate), sound);
      const got = heard ? taken(heard.text, kind) : 'nothing';
      const right = isRight(got);
      if (meaning === 'answer') {
        count.answers++;
        if (!right && got !== 'nothing') count.asCommand++;
      } else {
        count.commands++;
        if (isRight(taken(text, kind))) count.typed++;
        if (right) count.right++;
        else if (got === 'answer' || got === 'nothing') count.lost++;
        else count.other++;
      }
      if (values.print && !right)
        console.log(`${voice}: "${text}" (${meaning}) heard as "${heard?.text ?? ''}", taken for ${got}`);
    }
  }
}
const share = (part: number, of: number) => `${part} of ${of} (${((100 * part) / of).toFixed(1)} %)`;
console.log(
  `English, ${voices.join(', ')}, while ${module}.${values.step} is asked; sets as in tests/scoring:`,
);
for (const [set, { commands, right, typed, other, lost, answers, asCommand }] of bySet) {
  console.log(`${set}: commands taken for what they are: ${share(right, commands)}; typed ${typed}`);
  console.log(`  taken for another command: ${other}; for an answer or nothing: ${lost}`);
  console.log(`  answers taken for a command or distress: ${share(asCommand, answers)}`);
  figure(`spoken commands, set ${set}: taken for what they are`, (100 * right) / commands, '%');
  figure(`spoken answers, set ${set}: taken for a command`, (100 * asCommand) / answers, '%');
}
