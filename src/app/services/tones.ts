import type { Earcon } from '../../../machines/services';

/** One stroke of a sound: when it begins and how long it is, seconds; where its pitch goes, Hz; how it swells. */
interface Stroke {
  at: number;
  length: number;
  from: number;
  to: number;
  /** 'struck': at once, then dying away. 'held': even. 'swelling': slowly there, slowly gone. */
  shape: 'struck' | 'held' | 'swelling';
}

/*
 * Told apart by their shape, not by pitch alone: a short one and a long rising one: your turn. One struck like a
 * little bell: heard. Three quick ones alike: at work. One that swells: take your time. Ours.
 */
const strokes: Record<Earcon, readonly Stroke[]> = {
  'your-turn': [
    { at: 0, length: 0.07, from: 587, to: 587, shape: 'held' },
    { at: 0.11, length: 0.2, from: 587, to: 880, shape: 'held' },
  ],
  heard: [{ at: 0, length: 0.26, from: 940, to: 940, shape: 'struck' }],
  thinking: [0, 0.14, 0.28].map((at) => ({ at, length: 0.045, from: 659, to: 659, shape: 'held' as const })),
  'take-your-time': [{ at: 0, length: 0.38, from: 523, to: 523, shape: 'swelling' }],
};

/**
 * Level of the loudest tenth of a second at full volume, dBFS: that of the embedded voice in its words (-17). What
 * sounds while the ear is open is far softer.
 */
const loudness: Record<Earcon, number> = {
  'your-turn': -16.5,
  heard: -15,
  thinking: -15,
  'take-your-time': -29,
};

/**
 * Overtones, so that an old ear and a small loudspeaker have something of it. All of it stays between 400 and 2000 Hz,
 * where hearing is lost last and where speech is.
 */
const overtones = [1, 0.5];

const edge = 0.012;

function swell({ shape, length }: Stroke, t: number): number {
  const edges = Math.min(1, t / edge, (length - t) / edge);
  if (shape === 'struck') return Math.min(1, t / 0.006, (length - t) / 0.03) * Math.exp(-t / 0.06);
  return shape === 'swelling' ? Math.sin((Math.PI * t) / length) ** 2 : edges;
}

/** Root mean square of the loudest tenth of a second. */
export function loudestLevel(samples: Float32Array, sampleRate: number): number {
  const block = Math.max(1, Math.round(sampleRate / 10));
  let power = 0;
  let loudest = 0;
  for (let i = 0; i < samples.length; i++) {
    power += samples[i]! ** 2 - (i >= block ? samples[i - block]! ** 2 : 0);
    loudest = Math.max(loudest, power / Math.min(block, samples.length));
  }
  return Math.sqrt(loudest);
}

/**
 * The sound of an earcon at full volume.
 * @returns samples -1..1
 */
export function renderEarcon(name: Earcon, sampleRate: number): Float32Array<ArrayBuffer> {
  const parts = strokes[name];
  const seconds = Math.max(...parts.map(({ at, length }) => at + length));
  const samples = new Float32Array(Math.ceil(seconds * sampleRate));
  for (const stroke of parts) {
    const first = Math.round(stroke.at * sampleRate);
    let phase = 0;
    for (let i = 0; i < Math.round(stroke.length * sampleRate); i++) {
      const t = i / sampleRate;
      phase += (2 * Math.PI * (stroke.from + (stroke.to - stroke.from) * (t / stroke.length))) / sampleRate;
      const tone = overtones.reduce((sum, part, k) => sum + part * Math.sin((k + 1) * phase), 0);
      samples[first + i]! += swell(stroke, t) * tone;
    }
  }
  const gain = 10 ** (loudness[name] / 20) / loudestLevel(samples, sampleRate);
  return samples.map((sample) => sample * gain);
}
