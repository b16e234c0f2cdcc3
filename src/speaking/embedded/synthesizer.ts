import loadEspeak from '@echogarden/espeak-ng-emscripten';
import { voices } from '../../../phrasebanks/languages/voices';
import { unpack } from './pack';

export interface Sound {
  /** -1..1 */
  samples: Float32Array<ArrayBuffer>;
  /** Hz */
  sampleRate: number;
}

export interface Synthesizer {
  speaks(language: string): boolean;
  /** @throws for a language it does not speak */
  synthesize(text: string, language: string, rate: number): Sound;
}

/**
 * f2, a woman's voice: of 20 variants the embedded recogniser took down this one best (English, 449 words of our
 * own: 27 % amiss; the package's usual voice 70 %).
 */
const variant = '+f2';
const voiceOf = (language: string): string | undefined => {
  const voice = voices[language] ?? voices[language.slice(0, 2)];
  return voice && voice + variant;
};

/*
 * A calm voice: slow, rather low, with less melody than usual (50). Measured on our own texts: about 145 words a
 * minute with a pause of 0.35 s between sentences.
 */
const wordsAMinute = 130;
const pitch = 45;
const range = 45;

/** @param packed the voice data as served at `packPath` */
export async function loadSynthesizer(packed: ArrayBuffer): Promise<Synthesizer> {
  const data = unpack(packed);
  const lines: string[] = [];
  const module = await loadEspeak({
    getPreloadedPackage: () => data,
    print: () => {},
    printErr: (line) => lines.push(line),
  });
  const espeak = new module.eSpeakNGWorker();

  return {
    speaks: (language) => voiceOf(language) !== undefined,
    synthesize(text, language, rate) {
      const voice = voiceOf(language);
      lines.length = 0;
      if (!voice || espeak.set_voice(voice, '', 0, 0, 0) !== 0) {
        throw new Error(`the embedded voice does not speak ${language}`);
      }
      espeak.rate = Math.round(wordsAMinute * rate);
      espeak.pitch = pitch;
      espeak.range = range;
      const parts: Int16Array[] = [];
      espeak.synthesize(text, (samples) => {
        parts.push(samples);
        return false;
      });
      // It answers a voice that it cannot load with 0, a line of complaint and a burst of noise.
      if (lines.length > 0) throw new Error(lines.join('; '));
      const length = parts.reduce((sum, part) => sum + part.length, 0);
      const samples = new Float32Array(length);
      let at = 0;
      for (const part of parts) {
        for (const [i, value] of part.entries()) samples[at + i] = value / 32768;
        at += part.length;
      }
      return { samples, sampleRate: espeak.samplerate };
    },
  };
}
