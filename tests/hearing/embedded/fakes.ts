import {
  MicrophoneError,
  type MicrophoneListener,
  type openMicrophone,
} from '../../../src/hearing/audio/microphone';
import type { WorkerLike } from '../../../src/hearing/embedded/engine';
import type { FromWorker, ToWorker } from '../../../src/hearing/embedded/protocol';
import type { EndReason } from '../../../src/hearing/types';

/** A worker that does as a test says. By default it loads, takes sound and hears what it is told to hear. */
export class FakeWorker implements WorkerLike {
  onmessage: ((event: MessageEvent<FromWorker>) => void) | null = null;
  onerror: ((event: ErrorEvent) => void) | null = null;
  readonly got: ToWorker[] = [];
  terminated = false;
  /** What it hears in each turn; undefined: nothing. */
  hears: string | undefined = 'i hold my breath';
  loads: 'well' | 'badly' | 'never' = 'well';
  hangs = false;

  postMessage(message: ToWorker): void {
    this.got.push(message);
    queueMicrotask(() => this.#answer(message));
  }

  terminate(): void {
    this.terminated = true;
  }

  send(message: FromWorker): void {
    if (!this.terminated) this.onmessage?.({ data: message } as MessageEvent<FromWorker>);
  }

  crash(message: string): void {
    this.onerror?.({ message } as ErrorEvent);
  }

  #answer(message: ToWorker): void {
    if (message.type === 'open') {
      if (this.loads === 'well') this.send({ type: 'opened' });
      if (this.loads === 'badly') this.send({ type: 'failed', detail: 'Failed to fetch model/en-us/mdef' });
      return;
    }
    if (this.hangs || message.type === 'cancel') return;
    const { turn } = message;
    if (message.type === 'listen') this.send({ type: 'listening', turn, unknown: [] });
    if (message.type === 'audio') {
      this.send({ type: 'level', turn, dbfs: -30, peak: -18 });
      this.send({ type: 'took', turn });
    }
    if (message.type === 'finish') {
      const heard = this.hears === undefined ? {} : { heard: heardOf(this.hears) };
      this.send({ type: 'finished', turn, ...heard });
    }
  }
}

export function heardOf(text: string) {
  return { text, confidence: 0.8, alternatives: [], engine: 'embedded' as const };
}

/** A microphone that a test speaks into. */
export class FakeMicrophone {
  listener: MicrophoneListener | undefined;
  opened = 0;
  closed = 0;
  refuses: EndReason | undefined;
  /** Opens only when `let` is called. */
  waits = false;
  let: () => void = () => {};

  readonly open: typeof openMicrophone = async (listener, _options, signal) => {
    if (this.waits)
      await new Promise<void>((resolve) => {
        this.let = resolve;
      });
    if (signal?.aborted) throw new MicrophoneError('aborted', 'too late');
    if (this.refuses) throw new MicrophoneError(this.refuses, `the microphone: ${this.refuses}`);
    this.opened++;
    this.listener = listener;
    let open = true;
    return {
      sampleRate: 48000,
      close: () => {
        if (open) this.closed++;
        open = false;
      },
    };
  };

  speak(chunks = 3): void {
    for (let i = 0; i < chunks; i++) this.listener?.audio(new Float32Array(2400));
  }
}
