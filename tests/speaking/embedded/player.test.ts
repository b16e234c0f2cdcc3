import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { play, SoundBlocked } from '../../../src/speaking/embedded/player';

/** An audio output as far as `play` needs one. */
function output({ state = 'running', wakes = true, ends = true } = {}) {
  const source = {
    onended: null as (() => void) | null,
    connect: () => {},
    disconnect: () => {},
    start: () => {
      if (ends) setTimeout(() => source.onended?.(), 1000);
    },
    stop: vi.fn(),
  };
  const context = {
    state,
    resume: async () => {
      if (!wakes) await new Promise(() => {});
      context.state = 'running';
    },
    createBuffer: () => ({ copyToChannel: () => {}, duration: 1 }),
    createBufferSource: () => source,
  };
  return { node: { context } as unknown as AudioNode, source };
}

const sound = { samples: new Float32Array(8), sampleRate: 8 };
const start = (node: AudioNode, signal = new AbortController().signal) => {
  const begun = vi.fn();
  const result = play(sound, node, begun, signal);
  result.catch(() => {});
  return { begun, result };
};

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('an output that sleeps is woken, and the sound is played to its end', async () => {
  const { begun, result } = start(output({ state: 'suspended' }).node);
  await vi.advanceTimersByTimeAsync(1500);
  expect(await result).toBe('finished');
  expect(begun).toHaveBeenCalledOnce();
});

test('an output that may not sound before a press is told apart', async () => {
  const { begun, result } = start(output({ state: 'suspended', wakes: false }).node);
  await vi.advanceTimersByTimeAsync(3000);
  await expect(result).rejects.toThrow(SoundBlocked);
  expect(begun).not.toHaveBeenCalled();
});

test('an output that stands still is noticed, and is no lack of a press', async () => {
  const { node, source } = output({ ends: false });
  const { result } = start(node);
  await vi.advanceTimersByTimeAsync(5000);
  await expect(result).rejects.toThrow(/stands still/);
  await expect(result).rejects.not.toThrow(SoundBlocked);
  expect(source.stop).toHaveBeenCalled();
});

test('a stop is silence at once', async () => {
  const stop = new AbortController();
  const { node, source } = output();
  const { result } = start(node, stop.signal);
  await vi.advanceTimersByTimeAsync(100);
  stop.abort();
  await vi.advanceTimersByTimeAsync(0);
  expect(await result).toBe('aborted');
  expect(source.stop).toHaveBeenCalled();
});
