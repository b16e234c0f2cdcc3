import { afterEach, expect, test, vi } from 'vitest';
import { record } from '../../../src/hearing/audio/record';
import { FakeMicrophone } from '../embedded/fakes';

afterEach(() => void vi.useRealTimers());

function recording(microphone = new FakeMicrophone()) {
  const stop = new AbortController();
  const done = new AbortController();
  const levels: number[] = [];
  const sound = record(
    { done: done.signal, onLevel: (level) => levels.push(level), open: microphone.open },
    stop.signal,
  );
  sound.catch(() => {});
  return { microphone, stop, done, levels, sound };
}

const settle = () => new Promise((done) => setTimeout(done, 0));

test('holds all that was said until it was done, and lets the microphone go', async () => {
  const { microphone, done, levels, sound } = recording();
  await settle();
  microphone.speak(3);
  done.abort();
  microphone.speak(1); // the last piece is still on its way
  expect(await sound).toEqual({ sampleRate: 48_000, samples: new Float32Array(4 * 2400) });
  expect(levels).toHaveLength(4);
  expect(microphone.closed).toBe(1);
});

test('is thrown away when it is stopped', async () => {
  const { microphone, stop, sound } = recording();
  await settle();
  stop.abort();
  await expect(sound).rejects.toMatchObject({ reason: 'aborted' });
  expect(microphone.closed).toBe(1);
});

test('a microphone that opens after the stop is let go', async () => {
  const microphone = new FakeMicrophone();
  microphone.waits = true;
  const { stop, sound } = recording(microphone);
  stop.abort();
  microphone.let();
  await expect(sound).rejects.toMatchObject({ reason: 'aborted' });
  expect(microphone.opened - microphone.closed).toBe(0);
});

test('says why there is no microphone', async () => {
  const microphone = new FakeMicrophone();
  microphone.refuses = 'denied';
  await expect(recording(microphone).sound).rejects.toMatchObject({ reason: 'denied' });
});

test('a microphone that is unplugged ends it', async () => {
  const { microphone, sound } = recording();
  await settle();
  microphone.listener?.lost('unplugged');
  await expect(sound).rejects.toMatchObject({ reason: 'no-device' });
  expect(microphone.closed).toBe(1);
});

test('ends by itself after a minute', async () => {
  vi.useFakeTimers();
  const { microphone, sound } = recording();
  await vi.advanceTimersByTimeAsync(61_000);
  expect((await sound).samples).toHaveLength(0);
  expect(microphone.closed).toBe(1);
});
