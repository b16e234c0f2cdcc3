import { betweenSentences, pause } from '../pause';
import type { SpeakEnd, Speaking } from '../types';
import { type playClip, UnplayableClip } from './play';

export interface Clips {
  /** The recording of exactly this sentence; null: there is none. */
  find(language: string, sentence: string): Promise<Blob | null>;
  /** It is there and cannot be played: for staff. */
  unplayable(language: string, sentence: string, why: string): void;
}

/**
 * Says a sentence in a recording where there is one, and every other sentence in `voice`, in the order given. A
 * recording that does not play is said by `voice` as well. The end names 'clip' when a recording sounded, and tells in
 * `detail` who said the others.
 */
export function withClips(clips: Clips, play: typeof playClip, voice: Speaking): Speaking {
  return {
    id: voice.id,
    available: (language) => voice.available(language),
    async speak({ sentences, language, rate, volume, onSentence }, signal) {
      const aborted: SpeakEnd = { voice: 'clip', reason: 'aborted' };
      const found = await Promise.all(
        sentences.map((sentence) => clips.find(language, sentence).catch(() => null)),
      );
      let played = 0;
      let other: SpeakEnd | null = null;
      const why: string[] = [];
      for (let at = 0; at < sentences.length; ) {
        if (signal.aborted) return aborted;
        const clip = found[at];
        if (clip) {
          try {
            const result = await play(clip, { rate, volume }, () => onSentence?.(at), signal);
            if (result === 'aborted') return aborted;
            played++;
            at++;
            if (at < sentences.length) await pause(betweenSentences / rate, signal);
          } catch (error) {
            const detail = error instanceof Error ? error.message : String(error);
            if (error instanceof UnplayableClip) clips.unplayable(language, sentences[at]!, detail);
            why.push(`clip: ${detail}`);
            found[at] = null;
          }
          continue;
        }
        const next = found.findIndex((one, index) => index > at && one !== null);
        const stop = next < 0 ? sentences.length : next;
        other = await voice.speak(
          {
            language,
            rate,
            volume,
            sentences: sentences.slice(at, stop),
            onSentence: (index) => onSentence?.(at + index),
          },
          signal,
        );
        if (other.reason !== 'finished') return other;
        at = stop;
        if (at < sentences.length) await pause(betweenSentences / rate, signal);
      }
      if (signal.aborted) return aborted;
      if (played === 0) return withDetail(other ?? { voice: voice.id, reason: 'finished' }, why);
      const rest = other ? [`the other sentences: ${other.voice}`] : [];
      return withDetail({ voice: 'clip', reason: 'finished' }, [...why, ...rest]);
    },
  };
}

const withDetail = (end: SpeakEnd, why: string[]): SpeakEnd => {
  const detail = [...why, ...(end.detail ? [end.detail] : [])].join('; ');
  return detail ? { ...end, detail } : end;
};
