import { betweenSentences, pause } from '../pause';
import { asSpoken } from '../spoken';
import type { SpeakEnd, Speaking } from '../types';
import { Bridge, type WorkerLike } from './bridge';
import { packLanguages, packPath } from './pack';
import { play, SoundBlocked } from './player';
import type { Sound } from './synthesizer';

export interface EmbeddedOptions {
  makeWorker: () => WorkerLike;
  /** Where the voice data is served. */
  dataUrl: string;
  /** Called once, at the first word. The sound goes to the node it returns. */
  openOutput: () => AudioNode;
}

/** The voice that we bring along: text -> sound in a worker, one sentence ahead of what is heard. */
export function embeddedVoice({ makeWorker, dataUrl, openOutput }: EmbeddedOptions): Speaking {
  const bridge = new Bridge(makeWorker, dataUrl);
  let output: AudioNode | undefined;

  return {
    id: 'embedded',
    async available(language) {
      if (!packLanguages.includes(language.slice(0, 2))) return false;
      return bridge.load().then(
        () => true,
        () => false,
      );
    },
    async speak({ sentences, language, rate, volume, onSentence }, signal) {
      const end = (reason: SpeakEnd['reason'], detail?: string): SpeakEnd => ({
        voice: 'embedded',
        reason,
        ...(detail ? { detail } : {}),
      });
      // Ends the sentence that is being made ahead, however we leave.
      const leaving = new AbortController();
      const both = AbortSignal.any([signal, leaving.signal]);
      const make = (index: number): Promise<Sound> | undefined => {
        const sentence = sentences[index];
        if (sentence === undefined) return undefined;
        const sound = bridge.synthesize(asSpoken(sentence, language), language, rate, both);
        sound.catch(() => {});
        return sound;
      };
      let gain: GainNode | undefined;
      try {
        output ??= openOutput();
        gain = output.context.createGain();
        gain.gain.value = volume;
        gain.connect(output);
        let next = make(0);
        for (let index = 0; next; index++) {
          const sound = await next;
          next = make(index + 1);
          const result = await play(sound, gain, () => onSentence?.(index), signal);
          if (result === 'aborted') return end('aborted');
          if (next) await pause(betweenSentences / rate, signal);
        }
        return end(signal.aborted ? 'aborted' : 'finished');
      } catch (error) {
        if (signal.aborted) return end('aborted');
        const failed = end('failed', error instanceof Error ? error.message : String(error));
        return error instanceof SoundBlocked ? { ...failed, blocked: true } : failed;
      } finally {
        leaving.abort();
        gain?.disconnect();
      }
    },
  };
}

/** The embedded voice as the site serves it, in a browser. */
export function browserEmbeddedVoice(
  openOutput: () => AudioNode = () => new AudioContext().destination,
): Speaking {
  return embeddedVoice({
    makeWorker: () => new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' }),
    dataUrl: new URL(`${import.meta.env.BASE_URL}${packPath}`, document.baseURI).href,
    openOutput,
  });
}
