import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Bridge, type WorkerLike } from '../../../src/speaking/embedded/bridge';
import type { Ask, Reply } from '../../../src/speaking/embedded/messages';

class FakeWorker implements WorkerLike {
  onmessage: Worker['onmessage'] = null;
  onerror: Worker['onerror'] = null;
  onmessageerror: Worker['onmessageerror'] = null;
  asked: Ask[] = [];
  ended = false;
  /** Questions it leaves unanswered. */
  mute: Ask['do'][] = [];
  refuse: string | null = null;

  postMessage(ask: Ask) {
    this.asked.push(ask);
    if (this.mute.includes(ask.do)) return;
    setTimeout(() => {
      if (this.ended) return;
      const ok: Reply =
        ask.do === 'load'
          ? { id: ask.id, ok: true }
          : { id: ask.id, ok: true, samples: new Float32Array(ask.text.length), sampleRate: 22_050 };
      const reply: Reply = this.refuse ? { id: ask.id, ok: false, error: this.refuse } : ok;
      (this.onmessage as ((event: MessageEvent) => void) | null)?.({ data: reply } as MessageEvent);
    }, 10);
  }
  terminate() {
    this.ended = true;
  }
}

const never = new AbortController().signal;

describe('the bridge to the voice worker', () => {
  let workers: FakeWorker[];
  let prepare: (worker: FakeWorker) => void;
  let bridge: Bridge;
  const run = async <T>(work: Promise<T>) => {
    const settled = work.catch((error: unknown) => error);
    await vi.advanceTimersByTimeAsync(60_000);
    return settled;
  };

  beforeEach(() => {
    vi.useFakeTimers();
    workers = [];
    prepare = () => {};
    bridge = new Bridge(() => {
      const worker = new FakeWorker();
      prepare(worker);
      workers.push(worker);
      return worker;
    }, '/voice');
  });
  afterEach(() => void vi.useRealTimers());

  it('loads once and asks one question at a time', async () => {
    const both = Promise.all([
      bridge.synthesize('one', 'en', 1, never),
      bridge.synthesize('three', 'en', 1, never),
    ]);
    await vi.advanceTimersByTimeAsync(15);
    expect(workers[0]!.asked.map((ask) => ask.do)).toEqual(['load', 'synthesize']);
    const sounds = (await run(both)) as { samples: Float32Array }[];
    expect(sounds.map((sound) => sound.samples.length)).toEqual([3, 5]);
    expect(workers).toHaveLength(1);
  });

  it('lets go at once when aborted, and answers the next question', async () => {
    const stop = new AbortController();
    const first = bridge.synthesize('one', 'en', 1, stop.signal).catch(() => 'aborted');
    await vi.advanceTimersByTimeAsync(12);
    stop.abort();
    expect(await first).toBe('aborted');
    expect(await run(bridge.synthesize('three', 'en', 1, never))).toMatchObject({ sampleRate: 22_050 });
  });

  it('tells when the data cannot be loaded, and tries again the next time', async () => {
    prepare = (worker) => {
      worker.refuse = '404 for the voice data';
    };
    expect(String(await run(bridge.load()))).toContain('404');
    expect(workers[0]!.ended).toBe(true);
    prepare = () => {};
    expect(await run(bridge.load())).toBeUndefined();
    expect(workers).toHaveLength(2);
  });

  it('tells when the worker cannot even be made', async () => {
    const broken = new Bridge(() => {
      throw new Error('no workers here');
    }, '/voice');
    expect(String(await run(broken.load()))).toContain('no workers here');
    expect(String(await run(broken.synthesize('one', 'en', 1, never)))).toContain('no workers here');
  });

  it('ends a worker that hangs and starts another', async () => {
    prepare = (worker) => {
      worker.mute = ['synthesize'];
    };
    expect(String(await run(bridge.synthesize('one', 'en', 1, never)))).toContain('gave no answer');
    expect(workers[0]!.ended).toBe(true);
    prepare = () => {};
    expect(await run(bridge.synthesize('one', 'en', 1, never))).toMatchObject({ sampleRate: 22_050 });
  });

  it('fails what is under way when the worker dies', async () => {
    prepare = (worker) => {
      worker.mute = ['synthesize'];
    };
    const first = bridge.synthesize('one', 'en', 1, never).catch((error: Error) => error.message);
    await vi.advanceTimersByTimeAsync(20);
    (workers[0]!.onerror as (event: ErrorEvent) => void)({ message: 'out of memory' } as ErrorEvent);
    expect(await first).toBe('out of memory');
  });
});
