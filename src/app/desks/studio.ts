import type { RecordRequest } from '../../hearing/audio/record';
import type { Take } from '../../hearing/audio/take';
import { writeWav } from '../../hearing/audio/wav';
import type { ClipInfo, ClipStore } from '../../records/types';
import { clipKey } from '../../speaking/clip/key';
import { playClip } from '../../speaking/clip/play';
import type { Speaking } from '../../speaking/types';
import type { Recorder } from '../recorder';

/** A sentence to be kept in somebody's voice. */
export interface Recordable {
  language: string;
  text: string;
  place: string;
}

/** All that the screen of recordings may do. What goes amiss is rejected with a sentence for staff. */
export interface Studio {
  clips(): Promise<ClipInfo[]>;
  record(request: RecordRequest): Promise<Take>;
  /** Throws a running recording away and lets the microphone go. */
  stop(): Promise<void>;
  /** Says a sentence as a visit would: by its recording, or by the voice. */
  say(language: string, text: string, signal: AbortSignal): Promise<void>;
  /** Plays a stored recording, outdated or not. */
  play(key: string, signal: AbortSignal): Promise<void>;
  playTake(take: Take, signal: AbortSignal): Promise<void>;
  /** `instead`: the key of an outdated recording that goes. */
  keep(sentence: Recordable, take: Take, instead?: string): Promise<void>;
  erase(key: string): Promise<void>;
}

export interface StudioParts {
  store: () => ClipStore;
  recorder: Recorder;
  voice: Speaking;
  play?: typeof playClip;
  now?: () => Date;
}

const plainly = { rate: 1, volume: 1 };
const wavOf = (bytes: Uint8Array<ArrayBuffer>) => new Blob([bytes], { type: 'audio/wav' });

export function makeStudio({
  store,
  recorder,
  voice,
  play = playClip,
  now = () => new Date(),
}: StudioParts): Studio {
  return {
    clips: () => store().clips(),
    record: (request) => recorder.start(request),
    stop: () => recorder.stop(),
    async say(language, text, signal) {
      const end = await voice.speak({ language, sentences: [text], ...plainly }, signal);
      if (end.voice === 'none' || end.reason === 'failed')
        throw new Error(`It cannot be said here (${end.detail ?? 'there is no voice'}).`);
    },
    async play(key, signal) {
      const clip = await store().clip(key);
      if (!clip) throw new Error('This recording could not be read.');
      await play(wavOf(clip.wav), plainly, () => {}, signal);
    },
    async playTake({ sound }, signal) {
      await play(wavOf(writeWav(sound)), plainly, () => {}, signal);
    },
    async keep({ language, text, place }, { sound }, instead) {
      const { samples, sampleRate } = sound;
      const clip = {
        key: await clipKey(language, text),
        language,
        text,
        place,
        recordedAt: now().toISOString(),
        seconds: samples.length / sampleRate,
        wav: writeWav(sound),
      };
      await store().saveClip(clip, instead);
    },
    erase: (key) => store().eraseClip(key),
  };
}
