/** How fast and how loud the kiosk speaks. */
export interface Voice {
  rate: number;
  volume: number;
}

/** "Slower": 1 -> 0.75 -> 0.6, not below. */
export const slower = (rate: number): number => (rate > 0.75 ? 0.75 : 0.6);

/** "Louder": a fifth of the range more, up to 1. */
export const louder = (volume: number): number => Math.min(1, Math.round((volume + 0.2) * 10) / 10);

export const normalVoice: Voice = { rate: 1, volume: 0.8 };

const words = (sentences: readonly string[]) => sentences.join(' ').split(/\s+/).filter(Boolean).length;

/** Time to read sentences without sound, ms: about 100 words a minute, a slow reader's pace (own choice). */
export const readingTime = (sentences: readonly string[]): number =>
  sentences.length === 0 ? 0 : Math.max(2000, words(sentences) * 600);

/** Time after which a voice that said nothing more is held to be stuck, ms: 60 words a minute and 10 s. */
export const stuckAfter = (sentences: readonly string[], rate: number): number =>
  10_000 + (words(sentences) * 1000) / rate;
