import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { silent } from '../../src/speaking/silent';

const request = { language: 'en', rate: 1, volume: 1 };

describe('the silent voice', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  it('shows each caption as long as a slow reader needs', async () => {
    const shown: number[] = [];
    const sentences = ['Sit up.', 'Breathe in slowly, and then hold your breath.'];
    const end = silent.speak(
      { ...request, sentences, onSentence: (i) => shown.push(i) },
      new AbortController().signal,
    );
    await vi.advanceTimersByTimeAsync(1999);
    expect(shown).toEqual([0]);
    await vi.advanceTimersByTimeAsync(1);
    expect(shown).toEqual([0, 1]);
    await vi.advanceTimersByTimeAsync(8 * 600);
    expect(await end).toEqual({ voice: 'none', reason: 'finished' });
  });

  it('takes longer when asked to go slower', async () => {
    let over = false;
    const sentences = ['one two three four five'];
    silent.speak({ ...request, rate: 0.75, sentences }, new AbortController().signal).then(() => {
      over = true;
    });
    await vi.advanceTimersByTimeAsync(3999);
    expect(over).toBe(false);
    await vi.advanceTimersByTimeAsync(1);
    expect(over).toBe(true);
  });

  it('stops at once', async () => {
    const stop = new AbortController();
    const shown: number[] = [];
    const end = silent.speak(
      { ...request, sentences: ['a', 'b'], onSentence: (i) => shown.push(i) },
      stop.signal,
    );
    stop.abort();
    expect(await end).toEqual({ voice: 'none', reason: 'aborted' });
    expect(shown).toEqual([0]);
  });
});
