import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Synthesis, systemVoice } from '../../src/speaking/system';

type Voice = SpeechSynthesisVoice;
const voice = (lang: string, more: Partial<Voice> = {}) =>
  ({ lang, name: lang, voiceURI: lang, localService: true, default: false, ...more }) as Voice;

type Utterance = SpeechSynthesisUtterance;
const utterance = (text: string) =>
  ({ text, onstart: null, onend: null, onerror: null }) as unknown as Utterance;

/** Each sentence takes a second. What goes amiss is chosen by the test. */
class FakeSynthesis {
  voices: Voice[] = [];
  speaking = false;
  pending = false;
  said: Utterance[] = [];
  cancelled = 0;
  lose: 'nothing' | 'onend' | 'onstart' | 'everything' | 'endless' = 'nothing';
  error: string | null = null;
  /** Milliseconds a sentence takes. */
  takes = 1000;

  getVoices = () => this.voices;
  cancel = () => {
    this.cancelled++;
    this.speaking = false;
  };
  speak = (one: Utterance) => {
    this.said.push(one);
    if (this.lose === 'everything') return;
    setTimeout(() => {
      if (this.error) return one.onerror?.({ error: this.error } as SpeechSynthesisErrorEvent);
      this.speaking = true;
      if (this.lose !== 'onstart') one.onstart?.({} as SpeechSynthesisEvent);
      if (this.lose === 'endless') return;
      setTimeout(() => {
        this.speaking = false;
        if (this.lose !== 'onend') one.onend?.({} as SpeechSynthesisEvent);
      }, this.takes);
    }, 10);
  };
}

const request = { language: 'en', rate: 0.75, volume: 0.8, sentences: ['Sit up.', 'Call 911.'] };
const never = new AbortController().signal;

describe("the computer's own voice", () => {
  let synthesis: FakeSynthesis;
  const make = () => systemVoice(synthesis as unknown as Synthesis, utterance);
  const run = async <T>(work: Promise<T>) => {
    await vi.advanceTimersByTimeAsync(60_000);
    return work;
  };

  beforeEach(() => {
    vi.useFakeTimers();
    synthesis = new FakeSynthesis();
    synthesis.voices = [voice('en-US')];
  });
  afterEach(() => void vi.useRealTimers());

  it('is not there without speech synthesis', async () => {
    expect(await systemVoice(undefined, utterance).available('en')).toBe(false);
  });

  it('is not there when no voice ever comes', async () => {
    synthesis.voices = [];
    expect(await run(make().available('en'))).toBe(false);
  });

  it('waits for voices that come late', async () => {
    synthesis.voices = [];
    setTimeout(() => {
      synthesis.voices = [voice('en-US')];
    }, 3000);
    expect(await run(make().available('en'))).toBe(true);
  });

  it('uses no voice that sends the words away', async () => {
    synthesis.voices = [voice('en-US', { localService: false })];
    expect(await run(make().available('en'))).toBe(false);
  });

  it('uses no voice of another language', async () => {
    synthesis.voices = [voice('de-DE', { default: true })];
    expect(await run(make().available('en'))).toBe(false);
  });

  it('prefers the region, then the default voice', async () => {
    synthesis.voices = [voice('es_ES'), voice('es-US', { default: true }), voice('es-MX')];
    await run(make().speak({ ...request, language: 'es-MX' }, never));
    expect(synthesis.said[0]?.voice?.lang).toBe('es-MX');
    await run(make().speak({ ...request, language: 'es' }, never));
    expect(synthesis.said.at(-1)?.voice?.lang).toBe('es-US');
  });

  it('says sentence by sentence, at the asked rate and loudness, as spoken', async () => {
    const shown: number[] = [];
    const end = await run(make().speak({ ...request, onSentence: (i) => shown.push(i) }, never));
    expect(end).toEqual({ voice: 'system', reason: 'finished' });
    expect(synthesis.said.map(({ text, rate, volume }) => [text, rate, volume])).toEqual([
      ['Sit up.', 0.75, 0.8],
      ['Call 9 1 1.', 0.75, 0.8],
    ]);
    expect(shown).toEqual([0, 1]);
  });

  it('goes on when the end of a sentence is never reported', async () => {
    synthesis.lose = 'onend';
    expect(await run(make().speak(request, never))).toMatchObject({ reason: 'finished' });
    expect(synthesis.said).toHaveLength(2);
  });

  it('tells that a sentence sounds though its start is never reported', async () => {
    synthesis.lose = 'onstart';
    const shown: number[] = [];
    await run(make().speak({ ...request, onSentence: (i) => shown.push(i) }, never));
    expect(shown).toEqual([0, 1]);
  });

  it('fails when nothing starts', async () => {
    synthesis.lose = 'everything';
    expect(await run(make().speak(request, never))).toEqual({
      voice: 'system',
      reason: 'failed',
      detail: 'did not start',
    });
  });

  it('fails when a sentence does not end, and silences it', async () => {
    synthesis.lose = 'endless';
    expect(await run(make().speak(request, never))).toMatchObject({ detail: 'did not end' });
    expect(synthesis.speaking).toBe(false);
  });

  it('does not cut off a long sentence that is said slowly', async () => {
    synthesis.takes = 38_000;
    const sentences = [Array(30).fill('word').join(' ')];
    expect(await run(make().speak({ ...request, sentences, rate: 0.75 }, never))).toMatchObject({
      reason: 'finished',
    });
    synthesis.takes = 60_000;
    expect(await run(make().speak({ ...request, sentences, rate: 0.75 }, never))).toMatchObject({
      detail: 'did not end',
    });
  });

  it('tells that the page may not speak before a press', async () => {
    synthesis.error = 'not-allowed';
    expect(await run(make().speak(request, never))).toEqual({
      voice: 'system',
      reason: 'failed',
      detail: 'not-allowed',
      blocked: true,
    });
  });

  it('fails with the reason that the browser gives', async () => {
    synthesis.error = 'synthesis-failed';
    expect(await run(make().speak(request, never))).toMatchObject({
      reason: 'failed',
      detail: 'synthesis-failed',
    });
  });

  it('falls silent at once when stopped', async () => {
    const stop = new AbortController();
    const end = make().speak(request, stop.signal);
    await vi.advanceTimersByTimeAsync(500);
    stop.abort();
    await vi.advanceTimersByTimeAsync(0);
    expect(await end).toEqual({ voice: 'system', reason: 'aborted' });
    expect(synthesis.speaking).toBe(false);
    expect(synthesis.said).toHaveLength(1);
  });

  it('clears the queue of someone else before it begins', async () => {
    synthesis.speaking = true;
    const end = make().speak(request, never);
    await vi.advanceTimersByTimeAsync(40);
    expect([synthesis.cancelled, synthesis.said.length]).toEqual([1, 0]);
    expect(await run(end)).toMatchObject({ reason: 'finished' });
  });
});
