import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join as joinPath } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import createModule, { type SoundSwallowerModule } from 'soundswallower';
import { sentencesOf } from '../../machines/sentences';
import { judgedIn, readCommon, readModule, readTeaching } from '../../phrasebanks/read';
import type { WordSlots } from '../../phrasebanks/schema';
import { Cleaner, openDenoiser } from '../../src/hearing/audio/denoise';
import { join } from '../../src/hearing/audio/join';
import { dbfs } from '../../src/hearing/audio/level';
import { resample } from '../../src/hearing/audio/resample';
import { makeTake } from '../../src/hearing/audio/take';
import { readWav } from '../../src/hearing/audio/wav';
import { SpeechDetector } from '../../src/hearing/embedded/detector';
import { loadSynthesizer } from '../../src/speaking/embedded/synthesizer';
import { makePack } from '../../src/speaking/embedded/vite-plugin';
import { type Band, bandPowers, EchoGuess, type Hop, sustained } from './barge-in-signal';
import { figure } from './figures';
import { clipsOf } from './outside-speech';

/*
 * npm run -s bench:barge-in [-- --rooms 12 --sentences 20]
 * Could a learner's voice stop the kiosk while it speaks, with the browser's echo cancellation off? The embedded
 * voice says its sentences in made-up rooms (delay, echo tail, a small loudspeaker that distorts); people of outside
 * data speak over it. Asked of two ways to tell them apart:
 * 1. the speech detector of the ear, on sound filtered by RNNoise;
 * 2. the same, and the microphone must be louder than what a delayed copy of the sound played explains, band by band,
 *    for 130 ms. Delay and loudness of the echo are learned from one sentence in the same room; the margin is chosen
 *    on half of the rooms, the figures are of the other half.
 * Reliable would be: at most 1 false stop in 100 sentences and at most 10 % of voices missed (not noticed within a
 * second, or stopped for nothing before it). Needs ../shared/datasets. Exit status 0 whatever comes out: it is a question, not a goal.
 */

const { values: options } = parseArgs({
  options: {
    rooms: { type: 'string', default: '12' },
    sentences: { type: 'string', default: '20' },
    heard: { type: 'string', default: '2' },
  },
});
const rooms = Number(options.rooms);
const perRoom = Number(options.sentences);
/** The speech detector is slow: it hears this many sentences of each room. */
const heardPerRoom = Number(options.heard);

const RATE = 16_000;
/** The learner's voice at the microphone, dBFS, and how loud the echo is beside it, dB. */
const VOICE = -26;
const echoes = [0, -10, -20];
const backgrounds = ['a quiet room', 'dishes, 20 dB below the voice'] as const;

let state = 7;
const random = () => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return state / 2 ** 32;
};
const between = (from: number, to: number) => from + (to - from) * random();
const normal = () => Math.sqrt(-2 * Math.log(random() + 1e-12)) * Math.cos(2 * Math.PI * random());
const pick = <T>(all: readonly T[]): T => all[Math.floor(random() * all.length)]!;

/** Level of the louder parts, as ITU-T P.56 means it: of the frames within 16 dB of the loudest. */
function activeLevel(samples: Float32Array): number {
  const levels: number[] = [];
  for (let at = 0; at + 320 <= samples.length; at += 320) levels.push(dbfs(samples.subarray(at, at + 320)));
  const loudest = Math.max(...levels);
  const power = levels.filter((level) => level > loudest - 16).map((level) => 10 ** (level / 10));
  return 10 * Math.log10(power.reduce((sum, x) => sum + x, 0) / power.length);
}

const atLevel = (samples: Float32Array, level: number) => {
  const factor = 10 ** ((level - activeLevel(samples)) / 20);
  return samples.map((x) => x * factor);
};

/** A room between loudspeaker and microphone: delay, the first sound, and a tail that dies away. */
interface Room {
  response: Float32Array;
  drive: number;
}

function makeRoom(): Room {
  const delay = Math.round(between(0.04, 0.2) * RATE);
  const reverberation = between(0.2, 0.6);
  const tail = Math.round(0.3 * RATE);
  const response = new Float32Array(delay + tail);
  const share = 10 ** (between(-12, -3) / 20);
  let power = 0;
  for (let i = 1; i < tail; i++) {
    const value = normal() * 10 ** ((-3 * i) / (reverberation * RATE));
    response[delay + i] = value;
    power += value * value;
  }
  for (let i = 1; i < tail; i++) response[delay + i]! *= share / Math.sqrt(power);
  response[delay] = 1;
  return { response, drive: between(0.5, 3) };
}

/** What comes back from the room: through a small loudspeaker, which has no bass and bends the loud parts. */
function echoOf(played: Float32Array, { response, drive }: Room): Float32Array {
  const peak = played.reduce((max, x) => Math.max(max, Math.abs(x)), 1e-9);
  const speaker = new Float32Array(played.length);
  let [low, before] = [0, 0];
  for (let i = 0; i < played.length; i++) {
    const bent = Math.tanh((drive * played[i]!) / peak);
    low = 0.92 * (low + bent - before);
    before = bent;
    speaker[i] = low;
  }
  const out = new Float32Array(played.length + response.length);
  for (let k = 0; k < response.length; k++) {
    const gain = response[k]!;
    if (gain === 0) continue;
    for (let i = 0; i < speaker.length; i++) out[i + k]! += gain * speaker[i]!;
  }
  return out;
}

function plus(...all: readonly Float32Array[]): Float32Array<ArrayBuffer> {
  const sum = new Float32Array(Math.max(...all.map(({ length }) => length)));
  for (const one of all) for (let i = 0; i < one.length; i++) sum[i]! += one[i]!;
  return sum;
}

const outside = fileURLToPath(
  new URL('../../../shared/datasets/noise/doing_the_dishes_20s.wav', import.meta.url),
);
const people = (['read_en', 'asterisk'] as const).flatMap((set) => clipsOf(set).clips);
if (people.length === 0 || !existsSync(outside)) {
  console.log('not measured: speech and noise of ../shared/datasets are not here');
  process.exit(0);
}
const dishes = (() => {
  const { samples, sampleRate } = readWav(readFileSync(outside));
  return Float32Array.from(resample(samples, sampleRate, RATE));
})();
const background = (which: (typeof backgrounds)[number], length: number) => {
  const hiss = Float32Array.from({ length }, () => normal() * 10 ** (-65 / 20));
  if (which === 'a quiet room') return hiss;
  const from = Math.floor(random() * dishes.length);
  const noise = hiss.map((_, i) => dishes[(from + i) % dishes.length]!);
  const factor = 10 ** ((VOICE - 20 - dbfs(noise)) / 20);
  return hiss.map((x, i) => x + factor * noise[i]!);
};

/** Voices that speak at once, for two seconds at most. */
const voices = people
  .map(({ file }) => makeTake(readWav(readFileSync(file))).sound)
  .filter(({ samples, sampleRate }) => samples.length > 0.6 * sampleRate)
  .map(({ samples, sampleRate }) =>
    atLevel(
      Float32Array.from(resample(samples.slice(0, 2 * sampleRate), sampleRate, RATE)).slice(0.1 * RATE),
      VOICE,
    ),
  );

const common = readCommon('en');
const particulars = { ...(common.slots as WordSlots), callNumber: '555-0142', emergencyNumber: '911' };
const texts = [
  ...new Set(
    judgedIn('en').flatMap((module) =>
      sentencesOf({ common, module: readModule(module), teaching: readTeaching(module, 'en') }, particulars)
        .map(({ text }) => text)
        .filter((text) => text.length > 20),
    ),
  ),
];
const synthesizer = await loadSynthesizer(makePack().buffer);
const say = (text: string) => {
  const { samples, sampleRate } = synthesizer.synthesize(text, 'en', 1);
  return Float32Array.from(resample(samples, sampleRate, RATE));
};

const rnnoise = await openDenoiser();
const modelBase = joinPath(dirname(createRequire(import.meta.url).resolve('soundswallower')), 'model/');
const module: SoundSwallowerModule = await createModule({ modelBase } as Parameters<typeof createModule>[0]);

/** For every hop of 10 ms: does the detector of the ear hear speech? */
function speechIn(samples: Float32Array): boolean[] {
  const cleaner = new Cleaner(rnnoise, RATE, RATE);
  const detector = new SpeechDetector(module);
  const hops: boolean[] = [];
  let speaking = false;
  // A second of the room before it, as in the kiosk, whose microphone would be open.
  const all = join(background('a quiet room', RATE), samples);
  for (let at = 0; at + 160 <= all.length; at += 160) {
    for (const change of detector.push(cleaner.push(all.slice(at, at + 160)).filtered).changes)
      speaking = change === 'speech-start';
    hops.push(speaking);
  }
  cleaner.close();
  return hops.slice(100);
}

interface Trial {
  tuning: boolean;
  echo: number;
  background: string;
  /** First hop of the learner's voice; null: the learner is silent. */
  voice: number | null;
  /** How far the microphone is above what was played, hop by hop and band by band, dB. */
  above: Float32Array[];
  speech: boolean[] | null;
}

const margins = [0, 3, 6, 9, 12, 15, 18, 21, 24];
const trials: Trial[] = [];
for (let room = 0; room < rooms; room++) {
  const made = makeRoom();
  const calibration = say(pick(texts));
  const calibrationEcho = echoOf(calibration, made);
  for (let sentence = 0; sentence < perRoom; sentence++) {
    const played = say(pick(texts));
    const returned = echoOf(played, made);
    const voice = pick(voices);
    const onset = Math.floor(between(0.3, 0.7) * played.length);
    for (const echo of echoes) {
      const loud = VOICE + echo;
      const gain = 10 ** ((loud - activeLevel(calibrationEcho)) / 20);
      for (const where of backgrounds) {
        const learned = plus(
          calibrationEcho.map((x) => x * gain),
          background(where, calibrationEcho.length),
        );
        const guess = new EchoGuess(bandPowers(calibration), bandPowers(learned));
        const back = plus(
          returned.map((x) => x * gain),
          background(where, returned.length),
        );
        const spoken = new Float32Array(onset + voice.length);
        spoken.set(voice, onset);
        for (const withVoice of [false, true]) {
          const heard = withVoice ? plus(back, spoken) : back;
          trials.push({
            tuning: room % 2 === 0,
            echo,
            background: where,
            voice: withVoice ? Math.floor(onset / 160) : null,
            above: guess.above(bandPowers(played), bandPowers(heard)),
            speech: sentence < heardPerRoom ? speechIn(heard) : null,
          });
        }
      }
    }
  }
}

/** First hop at which the kiosk would stop, or null. */
const stopOf = (hops: readonly boolean[]): number | null => {
  const at = hops.indexOf(true);
  return at < 0 ? null : at;
};
const louder = (above: readonly Hop[], margin: number) =>
  sustained(above.map((bands: Band) => bands.filter((band) => band > margin).length >= 4));

function count(some: readonly Trial[], stop: (trial: Trial) => number | null) {
  const silent = some.filter(({ voice }) => voice === null);
  const over = some.filter(({ voice }) => voice !== null);
  const stopped = silent.filter((trial) => stop(trial) !== null).length;
  const caught = over.filter((trial) => {
    const at = stop(trial);
    return at !== null && at >= trial.voice! && at <= trial.voice! + 100;
  }).length;
  return { sentences: silent.length, false: stopped, missed: over.length - caught };
}

const told = (place: string, what: string, { sentences, ...counts }: ReturnType<typeof count>) => {
  figure(`${place}, ${what}: false stops in 100 sentences`, (100 * counts.false) / sentences, '');
  figure(`${place}, ${what}: voices missed`, (100 * counts.missed) / sentences, '%');
  console.log(
    `  ${what}: false stops in ${((100 * counts.false) / sentences).toFixed(1)} of 100 sentences, missed ${(
      (100 * counts.missed) / sentences
    ).toFixed(1)} % (of ${sentences} each)`,
  );
};

console.log(
  `${rooms} rooms, ${perRoom} sentences of the embedded voice each, ${voices.length} clips of people; echo cancellation off`,
);
for (const where of backgrounds) {
  for (const echo of echoes) {
    const place = `${where}, echo ${echo} dB`;
    const here = trials.filter((trial) => trial.echo === echo && trial.background === where);
    const tuning = here.filter((trial) => trial.tuning);
    const held = here.filter((trial) => !trial.tuning);
    const byLoudness = (margin: number) => (trial: Trial) => stopOf(louder(trial.above, margin));
    const margin =
      margins.find((one) => {
        const { sentences, false: stopped } = count(tuning, byLoudness(one));
        return stopped <= sentences / 100;
      }) ?? margins.at(-1)!;
    console.log(`\nechoes ${echo} dB beside the learner's voice, ${where}`);
    const detected = here.filter(({ speech }) => speech !== null);
    told(
      place,
      '1. the speech detector',
      count(detected, ({ speech }) => stopOf(sustained(speech!))),
    );
    told(place, `2a. louder than what was played, margin ${margin} dB`, count(held, byLoudness(margin)));
    told(
      place,
      '2b. both',
      count(
        detected.filter((trial) => !trial.tuning),
        ({ speech, above }) => {
          const loud = louder(above, margin);
          return stopOf(sustained(speech!).map((yes, hop) => yes && (loud[hop] ?? false)));
        },
      ),
    );
  }
}
