import type { HearEvent } from '../types';
import { dbfs, peakDbfs } from './level';
import { resample } from './resample';
import type { Sound } from './wav';
import { weighSound } from './weigh';

/** Hz. Keeps the s and f of a voice, which 16 kHz dulls; the embedded voice has 22,050. */
const RATE = 24_000;
/** Seconds. */
const FRAME = 0.01;
const LEVEL = 0.1;
/** A voice stands so far above its room, and the loudest of it so far above its softest sounds, dB. */
const ABOVE_ROOM = 8;
const WITHIN = 35;
/** Fainter than this nothing is a voice, dBFS. */
const FAINTEST = -62;
/** Sounds so near to each other belong together; a shorter one, such as that of a key, is no voice. Seconds. */
const GAP = 0.25;
const SHORTEST = 0.1;
/** What is left before and after the voice, and how long it takes to rise and to fade, seconds. */
const BEFORE = 0.1;
const AFTER = 0.2;
const FADE = 0.005;
/** Level of active speech: that of the embedded voice at full volume, as measured. Never nearer to full scale. dBFS */
const SPEECH = -20;
const HEADROOM = -1;
/** dB: more would be noise above all. */
const MOST_GAIN = 20;
/** Share of the pieces of a voice that reach full scale. Stricter than for an answer: it will be heard many times. */
const CUT_OFF = 0.05;
const FULL_SCALE = -0.2;

export type TakeVerdict = 'fine' | 'empty' | 'too-quiet' | 'too-noisy' | 'cut-off';

/** A recording made ready to be kept. */
export interface Take {
  /** Without the silence around the voice, at an even level. Nothing when it is empty. */
  sound: Sound;
  verdict: TakeVerdict;
}

/** Trims a recording of one sentence, brings it to the level of the other voices and weighs it. */
export function makeTake({ sampleRate, samples }: Sound): Take {
  const size = Math.max(1, Math.round(FRAME * sampleRate));
  const levels = frames(samples, size).map(dbfs);
  const voice = voiceIn(levels);
  if (!voice) return { sound: { sampleRate: RATE, samples: new Float32Array(0) }, verdict: 'empty' };

  const verdict = weigh(samples, sampleRate, voice.start * size, voice.end * size);
  const active = levels.slice(voice.start, voice.end).filter((level) => level >= voice.loud - 16);
  const from = Math.max(0, voice.start * size - Math.round(BEFORE * sampleRate));
  const to = voice.end * size + Math.round(AFTER * sampleRate);
  const out = Float32Array.from(resample(samples.slice(from, to), sampleRate, RATE));
  const gain = Math.min(SPEECH - meanPower(active), HEADROOM - peakDbfs(out), MOST_GAIN);
  const factor = 10 ** (gain / 20);
  const fade = Math.round(FADE * RATE);
  for (let i = 0; i < out.length; i++) {
    out[i]! *= factor * Math.min(1, i / fade, (out.length - 1 - i) / fade);
  }
  return { sound: { sampleRate: RATE, samples: out }, verdict };
}

function frames(samples: Float32Array, size: number): Float32Array[] {
  const count = Math.floor(samples.length / size);
  return Array.from({ length: count }, (_, i) => samples.subarray(i * size, (i + 1) * size));
}

/** First frame of the voice, the one after its last, and how loud its loudest are. */
function voiceIn(levels: readonly number[]): { start: number; end: number; loud: number } | null {
  const sorted = [...levels].sort((a, b) => a - b);
  const room = sorted[Math.floor(sorted.length * 0.1)] ?? 0;
  const loud = sorted[Math.floor(sorted.length * 0.95)] ?? 0;
  const threshold = Math.max(room + ABOVE_ROOM, loud - WITHIN, FAINTEST);
  const runs: { start: number; end: number; voiced: number }[] = [];
  levels.forEach((level, index) => {
    if (level < threshold) return;
    const last = runs.at(-1);
    if (last && index - last.end <= GAP / FRAME) {
      last.end = index + 1;
      last.voiced++;
    } else runs.push({ start: index, end: index + 1, voiced: 1 });
  });
  const voice = runs.filter(({ voiced }) => voiced >= SHORTEST / FRAME);
  const [first, last] = [voice[0], voice.at(-1)];
  return first && last ? { start: first.start, end: last.end, loud } : null;
}

/** As an answer is weighed, by the same events that a recogniser gives. */
function weigh(samples: Float32Array, rate: number, start: number, end: number): TakeVerdict {
  const size = Math.round(LEVEL * rate);
  const pieces = frames(samples, size);
  const [first, last] = [Math.floor(start / size), Math.ceil(end / size)];
  const events: HearEvent[] = [];
  pieces.forEach((piece, index) => {
    events.push({ type: 'level', dbfs: dbfs(piece), peak: peakDbfs(piece) });
    // It takes a detector to be a little late.
    if (index === first + 2) events.push({ type: 'speech-start' });
    if (index === last + 2) events.push({ type: 'speech-end' });
  });
  const spoken = pieces.slice(first, last);
  const cut = spoken.filter((piece) => peakDbfs(piece) >= FULL_SCALE).length;
  if (cut > CUT_OFF * spoken.length) return 'cut-off';
  const verdict = weighSound(events)?.verdict ?? 'fine';
  return verdict === 'too-loud' ? 'cut-off' : verdict;
}

function meanPower(levels: readonly number[]): number {
  const power = levels.reduce((sum, level) => sum + 10 ** (level / 10), 0) / levels.length;
  return 10 * Math.log10(power);
}
