import type { VisitStart } from '../src/records/types';

/** How fast and how loud the kiosk speaks. */
export interface Voice {
  rate: number;
  volume: number;
}

/** How the visit wants to be spoken from now on, and what it says first: "Slower now." */
export interface Adjust extends Voice {
  type: 'ADJUST';
  says: string[];
}

/** Speeds that can be asked for. */
const rates = [0.6, 0.75, 1, 1.25];

/** "Slower": 1 -> 0.75 -> 0.6, not below. */
export const slower = (rate: number): number => rates.findLast((one) => one < rate) ?? rates[0]!;

/** "Faster": 0.6 -> 0.75 -> 1 -> 1.25, not above. */
export const faster = (rate: number): number => rates.find((one) => one > rate) ?? rates.at(-1)!;

/**
 * Steps of 6 dB, each twice the amplitude of the one before, so that each is heard: a range of 18 dB with a step
 * 12 dB above the lowest (EN 301 549, 8.2.1.1 and 8.2.1.2, as quoted on ds.gpii.net).
 */
export const volumes = [0.125, 0.25, 0.5, 1] as const;

export const louder = (volume: number): number => volumes.find((step) => step > volume) ?? 1;

export const softer = (volume: number): number => volumes.findLast((step) => step < volume) ?? volumes[0];

/** Every visit begins with it, whatever the last one ended with; but the next lesson of a sitting goes on as it was. */
export const normalVoice: Voice = { rate: 1, volume: 0.5 };

/** How a visit begins: louder for who does not hear well. */
export const firstVoice = ({ barriers }: Pick<VisitStart, 'barriers'>): Voice =>
  barriers.includes('hearing') ? { ...normalVoice, volume: louder(normalVoice.volume) } : normalVoice;

/** A call for help is said as loud as can be. */
export const loudest = 1;

/** Takes over how to speak. What is to be said first is the caller's matter. */
export const adjusted = ({ rate, volume }: Voice): Voice => ({ rate, volume });

const words = (sentences: readonly string[]) => sentences.join(' ').split(/\s+/).filter(Boolean).length;

/** Time to read sentences without sound, ms: about 100 words a minute, a slow reader's pace (own choice). */
export const readingTime = (sentences: readonly string[]): number =>
  sentences.length === 0 ? 0 : Math.max(2000, words(sentences) * 600);

/** Time after which a voice that said nothing more is held to be stuck, ms: 60 words a minute and 10 s. */
export const stuckAfter = (sentences: readonly string[], rate: number): number =>
  10_000 + (words(sentences) * 1000) / rate;
