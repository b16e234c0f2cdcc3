import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { judgedIn, readJudging, readTeaching } from '../../phrasebanks/read';
import { expected, hearSound, openTransformer, stepsOf } from '../../src/commands/listening';
import { readWav } from '../../src/hearing/audio/wav';
import type { AnswerPhrases } from '../../src/hearing/embedded/phrases';
import { tokens } from '../../src/hearing/embedded/tokens';
import { buildPage } from '../browser/build-page';
import { scriptMicrophone } from '../browser/microphone';
import { sayWith, type Voice } from '../browser/voices';
import { sentences } from '../hearing/sentences';
import { openBare } from './bare-chromium';
import { goal } from './figures';
import { countWebAssembly, memoryOf, processesBelow, secondsOf, threadBelow } from './processes';
import { addErrors, wordErrorRate, wordErrors } from './wer';

/*
 * npm run -s bench:hear-load [-- --turns 100 --only node|browser]
 * What the embedded recogniser takes of memory and time, in Node and in Chromium. Only as true as the machine is
 * calm: the load average is printed beside it. Exit status 1 when a goal is missed.
 */

const { values: options } = parseArgs({
  options: { turns: { type: 'string', default: '100' }, only: { type: 'string' } },
});
const turns = Number(options.turns);
const megabytes = (bytes: number) => `${(bytes / 2 ** 20).toFixed(0)} MB`;
const median = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
const calm = () => `load average ${loadavg()[0]!.toFixed(2)}`;

interface Asked {
  phrases: AnswerPhrases;
  module: string;
  step: string;
}

/** Every step that can be asked, module after module. */
function allSteps(): Asked[] {
  return judgedIn('en').flatMap((module) => {
    const judging = readJudging(module, 'en');
    const teaching = readTeaching(module, 'en');
    return stepsOf(judging).map((step) => ({ module, step, phrases: expected(judging, teaching, step) }));
  });
}

const voices: Voice[] = ['slt', 'rms', 'awb'];

async function benchNode(): Promise<void> {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  const wasm = countWebAssembly();
  const recogniser = await openTransformer('en');
  const steps = allSteps();
  const sounds = sentences.flatMap(({ text }) =>
    voices.map((voice) => readWav(readFileSync(sayWith(voice, text)))),
  );
  console.log(
    `\nNode: one recogniser, ${steps.length} turns to warm up (one a step of every module), then ${turns}; each turn asks another step; ${calm()}`,
  );
  const swaps: number[] = [];
  let seconds = 0;
  let decoding = 0;
  let processor = 0;
  let heardTurns = 0;
  async function turn(index: number): Promise<void> {
    const start = performance.now();
    recogniser.expect(steps[index % steps.length]!.phrases);
    const expected = performance.now();
    const used = process.cpuUsage();
    const sound = sounds[index % sounds.length]!;
    if (await hearSound(recogniser.turn(sound.sampleRate), sound)) heardTurns++;
    swaps.push(expected - start);
    decoding += (performance.now() - expected) / 1000;
    const { user, system } = process.cpuUsage(used);
    processor += (user + system) / 1e6;
    seconds += sound.samples.length / sound.sampleRate;
  }
  const taken = () => {
    collect();
    const { rss, heapUsed } = process.memoryUsage();
    return { rss, heapUsed, wasm: wasm() };
  };
  const line = (at: number, { rss, heapUsed, wasm }: ReturnType<typeof taken>) =>
    console.log(
      `  after ${String(at).padStart(3)} turns: process ${megabytes(rss)}, WebAssembly ${megabytes(wasm)}, JavaScript ${megabytes(heapUsed)}`,
    );
  for (let at = 0; at < steps.length; at++) await turn(at);
  const warm = taken();
  line(0, warm);
  let last = warm;
  for (let at = 1; at <= turns; at++) {
    await turn(steps.length + at - 1);
    if (at % 20 === 0 || at === turns) {
      last = taken();
      line(at, last);
    }
  }
  const growth = (key: keyof typeof warm) => last[key] / warm[key] - 1;
  const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
  console.log(
    `  ${heardTurns} of ${turns + steps.length} turns heard something; language model and grammar of a step: median ${median(swaps).toFixed(0)} ms, slowest ${Math.max(...swaps).toFixed(0)} ms`,
  );
  goal(
    `memory grows at most 10 % in ${turns} turns after warm-up: process ${percent(growth('rss'))}, WebAssembly ${percent(growth('wasm'))}, JavaScript ${percent(growth('heapUsed'))}`,
    growth('rss') <= 0.1 && growth('wasm') <= 0.1,
  );
  goal(`WebAssembly memory at most 300 MB: ${megabytes(last.wasm)}`, last.wasm <= 300 * 2 ** 20);
  goal(
    `decoding at most 0.5 x real time: ${(decoding / seconds).toFixed(3)} over ${seconds.toFixed(0)} s of sound, ${(processor / seconds).toFixed(3)} of a processor; ${calm()}`,
    decoding / seconds <= 0.5,
  );
}

/** A person says the last sound, then presses Done: not before this, seconds. */
const press = 0.25;

/** The recording up to `press` after its last sound, base64 of a 16-bit PCM WAV file; and its length, seconds. */
function upToPress(path: string): { wav: string; seconds: number } {
  const bytes = readFileSync(path);
  const { samples, sampleRate } = readWav(bytes);
  const last = samples.findLastIndex((sample) => Math.abs(sample) > 0.01); // -40 dBFS
  if (last < 0) throw new Error(`${path} is silent`);
  const size = 2 * Math.min(samples.length, last + 1 + Math.round(press * sampleRate));
  const cut = bytes.subarray(0, 44 + size);
  cut.writeUInt32LE(36 + size, 4);
  cut.writeUInt32LE(size, 40);
  return { wav: cut.toString('base64'), seconds: size / 2 / sampleRate };
}

/** Says a recording into the microphone; the time from its end is taken in the page. */
async function speak({ wav, asked }: { wav: string; asked: Asked }) {
  window.hearing.start(asked.step, [...asked.phrases.step], [...asked.phrases.module]);
  while (!window.hearing.events().some(({ type }) => type === 'ready' || type === 'end'))
    await new Promise((resolve) => setTimeout(resolve, 5));
  const { streams, peak } = await window.scriptedMicrophone!.play(wav);
  const end = performance.now();
  window.hearing.done();
  const events = await window.hearing.over();
  const wait = performance.now() - end;
  const final = events.find((event) => event.type === 'final');
  const last = events.at(-1);
  return {
    wait,
    streams,
    peak,
    text: final?.type === 'final' ? final.heard.text : '',
    why: last?.type === 'end' ? `${last.reason} ${last.detail ?? ''}` : '',
  };
}

/** The same sound into a microphone that nobody listens to: what the page itself needs for it. */
async function speakToNobody(wav: string) {
  const stream = await navigator.mediaDevices.getUserMedia({ audio: true });
  await window.scriptedMicrophone!.play(wav);
  for (const track of stream.getTracks()) track.stop();
}

async function benchBrowser(): Promise<void> {
  const folder = await buildPage('hearing');
  const chromium = await openBare(folder, scriptMicrophone);
  try {
    const steps = new Map(
      allSteps()
        .filter(({ module }) => module === 'inhaler-spacer')
        .map((asked) => [asked.step, asked]),
    );
    // By threes, so that each turn asks another step than the one before it.
    const chosen = [...sentences, ...sentences].map((_, k) => {
      const { text, step } = sentences[(3 * k) % sentences.length]!;
      return { text, asked: steps.get(step)!, ...upToPress(sayWith(voices[k % voices.length]!, text)) };
    });
    // What the page has by itself goes up and down with what it has not yet thrown away: by 30 MB, so one look would not do.
    const without = new Map<number, number[]>();
    for (const { wav } of chosen) {
      await chromium.evaluate(speakToNobody, wav);
      for (const pid of processesBelow(chromium.profileDir))
        without.set(pid, [...(without.get(pid) ?? []), memoryOf(pid)?.own ?? 0]);
    }

    const loading = await chromium.evaluate(async () => {
      const start = performance.now();
      const there = await window.hearing.prepare('en');
      if (!there.ok) throw new Error(`the recogniser is not ready: ${there.detail}`);
      return performance.now() - start;
    }, undefined);
    console.log(`\nChromium: model loaded in ${loading.toFixed(0)} ms; ${calm()}`);
    const worker = threadBelow(chromium.profileDir, 'DedicatedWorker thread');
    if (!worker) console.log('  no thread of the worker found in /proc: its time and memory are left out');
    const before = worker && secondsOf(worker);

    const waits: number[] = [];
    const errors = [];
    let seconds = 0;
    let most = 0;
    for (const { text, wav, asked, seconds: long } of chosen) {
      const turn = await chromium.evaluate(speak, { wav, asked });
      if (turn.streams !== 1 || turn.peak < -30)
        throw new Error(`the microphone was silent: ${JSON.stringify(turn)}`);
      if (turn.text === '') console.log(`  nothing heard of "${text}": ${turn.why}`);
      waits.push(turn.wait + 1000 * press);
      errors.push(wordErrors(tokens(text), tokens(turn.text)));
      seconds += long;
      most = Math.max(most, (worker && memoryOf(worker.pid)?.own) || 0);
    }
    const used = worker && secondsOf(worker);
    waits.sort((a, b) => a - b);
    console.log(
      `  ${waits.length} turns of ${(seconds / waits.length).toFixed(1)} s, each another step, spoken as soon as the microphone is open; ${(100 * wordErrorRate(addErrors(errors))).toFixed(1)} % of words wrong; ${calm()}`,
    );
    goal(
      `last sound to final text, Done pressed ${1000 * press} ms after it: median ${median(waits).toFixed(0)} ms (goal 700), of which the recogniser took ${(median(waits) - 1000 * press).toFixed(0)}; fastest ${waits[0]!.toFixed(0)}, slowest ${waits.at(-1)!.toFixed(0)}`,
      median(waits) <= 700,
    );
    if (used && before !== null)
      goal(
        `the worker used ${(used - before).toFixed(1)} s of processor for ${seconds.toFixed(0)} s of sound, making ${waits.length} grammars included: ${((used - before) / seconds).toFixed(2)} x real time (goal 0.5)`,
        (used - before) / seconds <= 0.5,
      );
    // The worker shares its process with the page: what it takes is what the process has more than without it.
    const ofPage = worker && without.get(worker.pid);
    if (ofPage)
      goal(
        `memory of the worker at most 300 MB after any turn: ${megabytes(most - median(ofPage))}; the process has ${megabytes(most)}, and had ${megabytes(median(ofPage))} (median) when the same was said to nobody`,
        most - median(ofPage) <= 300 * 2 ** 20,
      );
  } finally {
    await chromium.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

if (spawnSync('flite', ['--version']).error) {
  console.log('flite is not installed (apt-get install flite): nobody speaks, nothing measured');
} else {
  if (options.only !== 'browser') await benchNode();
  if (options.only !== 'node') {
    const browser = process.env.CHROMIUM ?? '/usr/bin/chromium';
    if (existsSync(browser)) await benchBrowser();
    else console.log(`\nChromium is not at ${browser} (or set CHROMIUM): not measured there`);
  }
}
