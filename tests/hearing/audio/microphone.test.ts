import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { microphoneListed, onMicrophones, openMicrophone } from '../../../src/hearing/audio/microphone';

class FakeTrack extends EventTarget {
  readyState: MediaStreamTrackState = 'live';
  stop() {
    this.readyState = 'ended';
  }
  unplug() {
    this.readyState = 'ended';
    this.dispatchEvent(new Event('ended'));
  }
}

/** The sound of a browser that is told when its parts are made. */
class FakeContext {
  static made: FakeContext[] = [];
  sampleRate = 48_000;
  state = 'running';
  loaded = () => {};
  audioWorklet = {
    addModule: () =>
      new Promise<void>((resolve) => {
        this.loaded = resolve;
      }),
  };
  constructor() {
    FakeContext.made.push(this);
  }
  work: string[] = [];
  createMediaStreamSource() {
    return { connect: () => this.work.push('joined'), disconnect: () => this.work.push('parted') };
  }
  async resume() {}
  async close() {
    this.state = 'closed';
  }
}

class FakeNode {
  constructor(private readonly context: FakeContext) {}
  port = {
    onmessage: null as ((event: { data: Float32Array }) => void) | null,
    postMessage: (what: string) => this.context.work.push(what),
  };
}

let track: FakeTrack;
beforeEach(() => {
  track = new FakeTrack();
  FakeContext.made = [];
  vi.stubGlobal('AudioContext', FakeContext);
  vi.stubGlobal('AudioWorkletNode', FakeNode);
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const settle = () => new Promise((done) => setTimeout(done, 0));

function opening() {
  const stop = new AbortController();
  const lost = vi.fn();
  const getMedia = async () => ({ getTracks: () => [track], getAudioTracks: () => [track] }) as never;
  const microphone = openMicrophone({ audio() {}, lost }, { getMedia }, stop.signal);
  microphone.catch(() => {});
  return { microphone, stop, lost };
}

test('is let go at the moment of a stop, while the browser still makes its parts', async () => {
  const { microphone, stop } = opening();
  await settle();
  expect(track.readyState).toBe('live');
  stop.abort();
  expect(track.readyState).toBe('ended');
  await expect(microphone).rejects.toMatchObject({ reason: 'aborted' });
  expect(FakeContext.made.map(({ state }) => state)).toEqual(['closed']);
});

test('unplugged while the browser still makes its parts, it is no device, and nothing is left open', async () => {
  const { microphone, lost } = opening();
  await settle();
  track.unplug();
  await expect(microphone).rejects.toMatchObject({
    reason: 'no-device',
    message: expect.stringContaining('unplugged'),
  });
  expect(lost).not.toHaveBeenCalled();
  expect(FakeContext.made.map(({ state }) => state)).toEqual(['closed']);
});

test('unplugged when it is open, it is told; closed by us, it is not', async () => {
  const { microphone, lost, stop } = opening();
  await settle();
  FakeContext.made[0]?.loaded();
  const { close } = await microphone;
  stop.abort(); // of the opening, which is over
  expect(track.readyState).toBe('live');
  track.unplug();
  expect(lost).toHaveBeenCalledOnce();
  close();
  track.unplug();
  expect(lost).toHaveBeenCalledOnce();
});

test('let go, it is off at once, and the browser closes its parts when their work has stopped', async () => {
  const { microphone } = opening();
  await settle();
  const [context] = FakeContext.made;
  context?.loaded();
  const { close } = await microphone;
  vi.useFakeTimers();
  close();
  expect(track.readyState).toBe('ended');
  expect([context?.state, context?.work]).toEqual(['running', ['joined', 'parted', 'stop']]);
  vi.advanceTimersByTime(499);
  expect(context?.state).toBe('running');
  vi.advanceTimersByTime(1);
  expect(context?.state).toBe('closed');
});

test('stopped or unplugged before it was given, it makes no sound at all', async () => {
  const stopped = opening();
  stopped.stop.abort();
  await expect(stopped.microphone).rejects.toMatchObject({ reason: 'aborted' });
  expect(track.readyState).toBe('ended');
  await expect(opening().microphone).rejects.toMatchObject({ reason: 'no-device' });
  expect(FakeContext.made).toEqual([]);
});

const withDevices = (devices: unknown) => vi.stubGlobal('navigator', { mediaDevices: devices });

test.each([
  [
    'one is listed, a microphone may be there',
    async () => [{ kind: 'audiooutput' }, { kind: 'audioinput' }],
    true,
  ],
  ['only loudspeakers are listed, there is none', async () => [{ kind: 'audiooutput' }], false],
  ['the browser does not say, there may be one', async () => Promise.reject(new Error('not now')), true],
])('where %s', async (_, enumerateDevices, there) => {
  withDevices({ enumerateDevices });
  expect(await microphoneListed()).toBe(there);
});

test('a browser without devices at all does not say either', async () => {
  withDevices(undefined);
  expect(await microphoneListed()).toBe(true);
  expect(() => onMicrophones(() => {})).not.toThrow();
});

test('a microphone that is plugged in is told', () => {
  const devices = new EventTarget();
  withDevices(devices);
  let told = 0;
  onMicrophones(() => told++);
  devices.dispatchEvent(new Event('devicechange'));
  expect(told).toBe(1);
});
