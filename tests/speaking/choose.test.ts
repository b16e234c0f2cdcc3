import { describe, expect, it } from 'vitest';
import { chooseVoice } from '../../src/speaking/choose';
import type { Speaking, VoiceId } from '../../src/speaking/types';

interface Fake extends Speaking {
  said: string[][];
  fail: string | null;
  blocked: boolean;
}

/** Says sentences at once; with `fail` it breaks while saying that sentence. */
function fake(id: VoiceId, there = true): Fake {
  const voice: Fake = {
    id,
    said: [],
    fail: null,
    blocked: false,
    available: async () => there,
    async speak({ sentences, onSentence }, signal) {
      voice.said.push(sentences);
      for (const [index, sentence] of sentences.entries()) {
        if (signal.aborted) return { voice: id, reason: 'aborted' };
        onSentence?.(index);
        if (sentence === voice.fail)
          return {
            voice: id,
            reason: 'failed',
            detail: 'broke',
            ...(voice.blocked ? { blocked: true } : {}),
          };
      }
      return { voice: id, reason: 'finished' };
    },
  };
  return voice;
}

const request = { language: 'en', rate: 1, volume: 1, sentences: ['one', 'two', 'three'] };
const never = new AbortController().signal;

describe('choosing a voice', () => {
  it('takes the first that is there', async () => {
    const [system, embedded] = [fake('system'), fake('embedded')];
    expect(await chooseVoice([system, embedded]).speak(request, never)).toEqual({
      voice: 'system',
      reason: 'finished',
    });
    expect(embedded.said).toEqual([]);
  });

  it('passes over one that is not there and says why', async () => {
    const voice = chooseVoice([fake('system', false), fake('embedded')]);
    expect(await voice.available('en')).toBe(true);
    expect(await voice.speak(request, never)).toEqual({
      voice: 'embedded',
      reason: 'finished',
      detail: 'system: not available',
    });
  });

  it('is not there when only captions are left, and shows them all the same', async () => {
    const voice = chooseVoice([fake('system', false), fake('none')]);
    expect(await voice.available('en')).toBe(false);
    expect(await voice.speak(request, never)).toMatchObject({ voice: 'none', reason: 'finished' });
  });

  it('goes on with the next voice from the sentence that broke', async () => {
    const [system, embedded] = [fake('system'), fake('embedded')];
    system.fail = 'two';
    const shown: number[] = [];
    const end = await chooseVoice([system, embedded]).speak(
      { ...request, onSentence: (i) => shown.push(i) },
      never,
    );
    expect(end).toEqual({ voice: 'embedded', reason: 'finished', detail: 'system: broke' });
    expect(embedded.said).toEqual([['two', 'three']]);
    expect(shown).toEqual([0, 1, 1, 2]);
  });

  it('gives up on a voice that failed twice in a row, and not on one that recovered', async () => {
    const [system, embedded] = [fake('system'), fake('embedded')];
    const voice = chooseVoice([system, embedded]);
    system.fail = 'two';
    await voice.speak(request, never);
    system.fail = null;
    await voice.speak(request, never);
    system.fail = 'two';
    await voice.speak(request, never);
    await voice.speak(request, never);
    system.fail = null;
    expect(await voice.speak(request, never)).toMatchObject({ voice: 'embedded' });
    expect(system.said).toHaveLength(4);
  });

  it('gives a voice that it gave up on another chance after five minutes', async () => {
    const [system, embedded] = [fake('system'), fake('embedded')];
    let minutes = 0;
    const voice = chooseVoice([system, embedded], () => minutes * 60_000);
    system.fail = 'one';
    await voice.speak(request, never);
    await voice.speak(request, never);
    system.fail = null;
    minutes = 4;
    expect(await voice.speak(request, never)).toMatchObject({ voice: 'embedded' });
    minutes = 6;
    expect(await voice.speak(request, never)).toMatchObject({ voice: 'system' });
  });

  it('does not hold it against a voice that the page may not sound before a press', async () => {
    const [system, embedded] = [fake('system'), fake('embedded')];
    const voice = chooseVoice([system, embedded]);
    system.fail = 'one';
    system.blocked = true;
    for (let times = 0; times < 3; times++) await voice.speak(request, never);
    system.fail = null;
    expect(await voice.speak(request, never)).toMatchObject({ voice: 'system' });
  });

  it('fails when no voice is left', async () => {
    const embedded = fake('embedded');
    embedded.fail = 'one';
    expect(await chooseVoice([fake('system', false), embedded]).speak(request, never)).toEqual({
      voice: 'none',
      reason: 'failed',
      detail: 'system: not available; embedded: broke',
    });
  });

  it('does not start another voice after it was stopped', async () => {
    const [system, embedded] = [fake('system'), fake('embedded')];
    const stop = new AbortController();
    const end = await chooseVoice([system, embedded]).speak(
      { ...request, onSentence: () => stop.abort() },
      stop.signal,
    );
    expect(end).toEqual({ voice: 'system', reason: 'aborted' });
    expect(embedded.said).toEqual([]);
  });
});
