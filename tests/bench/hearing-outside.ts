import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { sureEnough } from '../../machines/step';
import type { JudgingFile } from '../../phrasebanks/judging';
import { judgedIn, readCommon, readJudging, readTeaching } from '../../phrasebanks/read';
import { anytimePhrases } from '../../src/app/services/anytime';
import { conceptsOf, expected, hearSound, openTransformer, stepsOf } from '../../src/commands/listening';
import { readWav, type Sound } from '../../src/hearing/audio/wav';
import { compileLanguageModel } from '../../src/hearing/embedded/sphinx/language-model';
import { tokens } from '../../src/hearing/embedded/tokens';
import type { Heard } from '../../src/hearing/types';
import { compileStep, interpret, judgeHeard, type Label, languagePack } from '../../src/scoring';
import { goal, percent } from './figures';
import { type Clip, clipsOf, type SpeechSet, speechSets } from './outside-speech';
import { hasSphinx, noSphinx, sphinxHears, sphinxKnows } from './sphinx';
import { addErrors, type WordErrors, wordErrorRate, wordErrors } from './wer';

/*
 * npm run -s bench:hear-outside [-- --step puff,fire --module M --every 3 --set fsdd --only unrelated|grammars --show]
 * The embedded recogniser on speech of people that was made for other ends. Needs ../shared/datasets.
 * 1. Speech that has nothing to do with the lesson, heard as an answer to it: it must earn nothing. With --every 3
 *    each step hears another third of the clips.
 * 2. Digits and read sentences with a grammar of their own words: how well does it hear people?
 * Exit status 1 when anything is credited or a goal is missed.
 */

const { values: options } = parseArgs({
  options: {
    step: { type: 'string' },
    module: { type: 'string' },
    every: { type: 'string', default: '1' },
    set: { type: 'string' },
    only: { type: 'string' },
    show: { type: 'boolean', default: false },
  },
});
const every = Number(options.every);
const show = options.show;

const pack = languagePack('en')!;
const common = readCommon('en');
const recogniser = await openTransformer('en');

const sounds = new Map<string, Sound>();
function soundOf({ file }: Clip): Sound {
  const sound = sounds.get(file) ?? readWav(readFileSync(file));
  sounds.set(file, sound);
  return sound;
}

const bySet = new Map<SpeechSet, Clip[]>();
for (const set of speechSets) {
  if (options.set && options.set !== set) continue;
  const { clips, absent } = clipsOf(set);
  if (absent) console.log(absent);
  if (clips.length > 0) bySet.set(set, clips);
}

/** What the kiosk listens for when it asks about a whole step; as src/app/services/services.ts has it. */
function expectStep(judging: JudgingFile, step: string): void {
  const phrases = expected(judging, readTeaching(judging.module, 'en'), step);
  recogniser.expect({ ...phrases, step: [...phrases.step, ...anytimePhrases(common)] });
}

interface Credit {
  module: string;
  concept: string;
  clip: Clip;
  heard: Heard;
  reason: string;
}

async function benchUnrelated(): Promise<void> {
  const clips = [...bySet.values()].flat();
  const modules = judgedIn('en').filter((module) => !options.module || module === options.module);
  console.log(
    `\n1. Speech of people that has nothing to do with the lesson: ${clips.length} clips (${[...bySet]
      .map(([set]) => `${set} ${clips.filter((clip) => clip.set === set).length}`)
      .join(', ')}), heard as answers to ${modules.join(', ')}`,
  );
  const credits: Credit[] = [];
  const labels: Record<Label, number> = { understood: 0, partial: 0, missed: 0, misconception: 0 };
  const outcomes = { turns: 0, nothing: 0, unsure: 0, command: 0, distress: 0 };
  let steps = 0;
  for (const module of modules) {
    const judging = readJudging(module, 'en');
    for (const step of stepsOf(judging)) {
      if (options.step && !options.step.split(',').includes(step)) continue;
      steps++;
      const concepts = conceptsOf(judging, step);
      expectStep(judging, step);
      const compiled = compileStep(judging, concepts, pack);
      const before = credits.length;
      const partials = labels.partial;
      for (const [index, clip] of clips.entries()) {
        if ((index + steps) % every !== 0) continue;
        outcomes.turns++;
        const heard = await hearSound(recogniser.turn(soundOf(clip).sampleRate), soundOf(clip));
        if (!heard) {
          outcomes.nothing++;
          continue;
        }
        if (show) console.log(`    ${heard.confidence.toFixed(2)} ${clip.said.join(' ')} -> ${heard.text}`);
        if (heard.confidence < sureEnough) outcomes.unsure++;
        const meaning = interpret(heard, common, 'answer', pack);
        if (meaning.kind !== 'answer') outcomes[meaning.kind]++;
        for (const { concept, label, reason } of judgeHeard(heard, compiled, pack)) {
          labels[label]++;
          if (label === 'understood') credits.push({ module, concept, clip, heard, reason });
        }
      }
      console.log(
        `  ${`${module} ${step}`.padEnd(32)} ${concepts.length} concepts: understood ${credits.length - before}, partial ${labels.partial - partials}`,
      );
    }
  }
  for (const { concept, clip, heard, reason } of credits)
    console.log(
      `  CREDIT ${concept} for ${clip.set}/${clip.name}, trust ${heard.confidence.toFixed(2)}: said "${clip.said.join(' ')}", heard "${heard.text}" (${heard.words?.map(({ word, confidence }) => `${word} ${confidence.toFixed(2)}`).join(' ')}); ${reason}`,
    );
  const { turns, nothing, unsure, command, distress } = outcomes;
  const judged = Object.values(labels).reduce((sum, count) => sum + count, 0);
  console.log(
    `  ${turns} turns: ${every > 1 ? `each ${every}th of ` : ''}${clips.length} clips, ${steps} steps; nothing heard in ${nothing}; the visit would ask "did I hear you right?" in ${unsure}` +
      `\n  of ${judged} findings: understood ${labels.understood}, partial ${labels.partial}, misconception ${labels.misconception}, missed ${labels.missed}` +
      `\n  taken for a command ${command}, for distress ${distress}`,
  );
  const silently = credits.filter(({ heard }) => heard.confidence >= sureEnough).length;
  goal(
    `no concept understood from unrelated speech: ${credits.length} were (${silently} without asking back)`,
    credits.length === 0,
  );
}

/** Words in any order, each as likely as the next, as a grammar for PocketSphinx. */
const anyOrder = (words: readonly string[]): string =>
  compileLanguageModel([{ phrases: words, weight: 1 }], { knows: sphinxKnows }).fsg;

/** Exactly one of these words. */
function oneOf(words: readonly string[]): string {
  const share = (1 / words.length).toExponential(4);
  return [
    'FSG_BEGIN <one>',
    'NUM_STATES 2',
    'START_STATE 0',
    'FINAL_STATE 1',
    ...words.map((word) => `TRANSITION 0 1 ${share} ${word}`),
    'FSG_END',
    '',
  ].join('\n');
}

interface Measured {
  mine: WordErrors;
  right: number;
  peer: WordErrors;
  peerRight: number;
}

async function measure(
  clips: readonly Clip[],
  words: readonly string[],
  grammar: (words: readonly string[]) => string,
): Promise<Measured> {
  recogniser.expectOnly(words);
  const heard: string[][] = [];
  for (const clip of clips) {
    const sound = soundOf(clip);
    heard.push(tokens((await hearSound(recogniser.turn(sound.sampleRate), sound))?.text ?? ''));
  }
  const peer = hasSphinx ? sphinxHears(clips.map(soundOf), grammar(words)) : [];
  if (show)
    clips.forEach(({ name, said }, k) => {
      console.log(`    ${name}: ${said.join(' ')} -> ${heard[k]!.join(' ')} | ${peer[k]?.join(' ') ?? ''}`);
    });
  const errorsOf = (all: string[][]) => addErrors(all.map((words, k) => wordErrors(clips[k]!.said, words)));
  const rightOf = (all: string[][]) =>
    all.filter((words, k) => words.join(' ') === clips[k]!.said.join(' ')).length;
  return { mine: errorsOf(heard), right: rightOf(heard), peer: errorsOf(peer), peerRight: rightOf(peer) };
}

async function benchGrammars(): Promise<void> {
  console.log(
    '\n2. A grammar of their own words' +
      (hasSphinx ? '; beside it PocketSphinx with the same grammar' : `; ${noSphinx}`),
  );
  const digits = bySet.get('fsdd');
  if (digits) {
    const words = [...new Set(digits.flatMap(({ said }) => said))];
    const { right, peerRight } = await measure(digits, words, oneOf);
    console.log(
      `  fsdd, one of ${words.length} digits: ${right} of ${digits.length} right (${percent(right, digits.length)})` +
        (hasSphinx ? `, PocketSphinx ${peerRight}` : ''),
    );
    goal(
      `digits at least 70.0 % (84 of 120, measured beside the data with a digit grammar)`,
      right / digits.length >= 84 / 120,
    );
  }
  const read = bySet.get('read_en') ?? [];
  /** Highest word error rate; by their README, PocketSphinx with its general model. */
  const reference: Record<string, number> = { LibriVox: 0.27, ARCTIC: 0.44 };
  const groups = new Map<string, Clip[]>();
  for (const clip of read) {
    const name = /^sense/.test(clip.origin)
      ? 'LibriVox'
      : /^cmu_arctic/.test(clip.origin)
        ? 'ARCTIC'
        : /^(cards|goforward)/.test(clip.origin)
          ? 'cards and commands'
          : clip.origin;
    groups.set(name, [...(groups.get(name) ?? []), clip]);
  }
  for (const [name, clips] of groups) {
    const words = [...new Set(clips.flatMap(({ said }) => said))];
    const { mine, right, peer } = await measure(clips, words, anyOrder);
    const lacks = hasSphinx ? words.filter((word) => !sphinxKnows(word)) : [];
    console.log(
      `  ${name}: ${clips.length} clips, ${mine.words} words, grammar of ${words.length} words in any order` +
        `${lacks.length > 0 ? ` (not in the dictionary of PocketSphinx: ${lacks.join(' ')})` : ''}: ` +
        `${percent(wordErrorRate(mine), 1)} of words wrong, ${right} clips right throughout` +
        (hasSphinx ? `; PocketSphinx ${percent(wordErrorRate(peer), 1)}` : ''),
    );
    const most = reference[name];
    if (most !== undefined)
      goal(
        `${name} at most ${percent(most, 1)} of words wrong (PocketSphinx with its general model, by the data's README)`,
        wordErrorRate(mine) <= most,
      );
  }
}

if (bySet.size === 0) {
  console.log(
    'no outside speech: there is no ../shared/datasets/speech beside the project; nothing measured',
  );
} else {
  if (options.only !== 'grammars') await benchUnrelated();
  if (options.only !== 'unrelated') await benchGrammars();
}
