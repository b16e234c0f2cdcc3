import { chooseVoice } from '../../../src/speaking/choose';
import { browserEmbeddedVoice } from '../../../src/speaking/embedded/voice';
import { silent } from '../../../src/speaking/silent';
import { systemVoice } from '../../../src/speaking/system';
import type { SpeakEnd } from '../../../src/speaking/types';

/** What a test asks of the page. */
export interface BenchRequest {
  sentences: string[];
  language?: string;
  rate?: number;
  volume?: number;
  /** Aborts this long after the first sentence began, ms. */
  abortAfter?: number;
  voices: 'embedded' | 'all';
}

export interface BenchResult {
  end: SpeakEnd;
  /** When each sentence began, ms after the call. */
  began: number[];
  /** ms after the call. */
  ended: number;
  aborted: number | null;
  /** Loudness of the output, about every 10 ms, dBFS. Goes on for half a second after the end. */
  heard: { at: number; dbfs: number }[];
}

const context = new AudioContext();
const ear = context.createAnalyser();
ear.fftSize = 512;
ear.connect(context.destination);

const embedded = browserEmbeddedVoice(() => ear);
const all = chooseVoice([systemVoice(window.speechSynthesis), embedded, silent]);

function loudness(): number {
  const samples = new Float32Array(ear.fftSize);
  ear.getFloatTimeDomainData(samples);
  return 10 * Math.log10(samples.reduce((sum, x) => sum + x * x, 1e-12) / samples.length);
}

async function speak(request: BenchRequest): Promise<BenchResult> {
  const voice = request.voices === 'all' ? all : embedded;
  const stop = new AbortController();
  const zero = performance.now();
  const now = () => performance.now() - zero;
  const heard: BenchResult['heard'] = [];
  const began: number[] = [];
  let aborted: number | null = null;
  const listening = setInterval(() => heard.push({ at: now(), dbfs: loudness() }), 10);
  const end = await voice.speak(
    {
      language: request.language ?? 'en',
      sentences: request.sentences,
      rate: request.rate ?? 1,
      volume: request.volume ?? 1,
      onSentence: (index) => {
        began[index] = now();
        if (index > 0 || request.abortAfter === undefined) return;
        setTimeout(() => {
          aborted = now();
          stop.abort();
        }, request.abortAfter);
      },
    },
    stop.signal,
  );
  const ended = now();
  await new Promise((done) => setTimeout(done, 500));
  clearInterval(listening);
  return { end, began, ended, aborted, heard };
}

const bench = {
  speak,
  available: (language: string) => embedded.available(language),
  voices: () => window.speechSynthesis?.getVoices().length ?? 0,
};
declare global {
  interface Window {
    voiceBench: typeof bench;
  }
}
window.voiceBench = bench;
