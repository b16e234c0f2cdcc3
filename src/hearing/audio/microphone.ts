import type { EndReason } from '../types';
import workletUrl from './capture.worklet.js?url&no-inline';

export type GetMedia = (constraints: MediaStreamConstraints) => Promise<MediaStream>;

export interface MicrophoneOptions {
  /** Stands in for navigator.mediaDevices.getUserMedia in tests. */
  getMedia?: GetMedia;
  constraints?: MediaTrackConstraints;
}

export interface MicrophoneListener {
  /** About 20 a second, mono, at `Microphone.sampleRate`. */
  audio(samples: Float32Array): void;
  /** The microphone went away while open. */
  lost(detail: string): void;
}

export interface Microphone {
  /** Hz. */
  sampleRate: number;
  /** Stops the tracks at once. Safe to call twice. */
  close(): void;
}

export class MicrophoneError extends Error {
  constructor(
    readonly reason: EndReason,
    message: string,
  ) {
    super(message);
  }
}

/** Speech comes from one person near a kiosk that talks itself: the browser may clean the sound up. */
export const defaultConstraints: MediaTrackConstraints = {
  echoCancellation: true,
  noiseSuppression: true,
  autoGainControl: true,
  channelCount: 1,
};

/**
 * How long its parts stay when the microphone is off, in ms. Closed while one of them still works, Chromium 156 keeps
 * them all for as long as the page is there.
 */
const lingers = 500;

/** Opens the microphone and starts to hand over sound. Rejects with a MicrophoneError. */
export async function openMicrophone(
  listener: MicrophoneListener,
  { getMedia, constraints = defaultConstraints }: MicrophoneOptions = {},
  signal?: AbortSignal,
): Promise<Microphone> {
  const ask = getMedia ?? browserGetMedia();
  if (!ask) {
    throw new MicrophoneError(
      'no-device',
      'This browser gives no access to a microphone. The page has to be opened over https or from this machine.',
    );
  }

  let stream: MediaStream;
  try {
    stream = await ask({ audio: constraints });
  } catch (error) {
    throw fromDomError(error);
  }
  let context: AudioContext | undefined;
  let source: MediaStreamAudioSourceNode | undefined;
  let node: AudioWorkletNode | undefined;
  let state: 'opening' | 'open' | 'closed' = 'opening';
  const close = () => {
    if (state === 'closed') return;
    state = 'closed';
    for (const track of stream.getTracks()) {
      track.stop();
      track.removeEventListener('ended', onEnded);
    }
    const end = () => void context?.close().catch(() => {});
    if (!node) return end();
    source?.disconnect();
    node.port.postMessage('stop');
    setTimeout(end, lingers);
  };
  // Whoever gives up while the browser makes its parts gets the microphone off at once, not when they are made.
  let reject = (_: MicrophoneError) => {};
  const givenUp = new Promise<never>((_, rejects) => {
    reject = rejects;
  });
  givenUp.catch(() => {}); // perhaps before anybody waits for it
  const giveUp = (error: MicrophoneError) => {
    close();
    reject(error);
  };
  const onAbort = () => giveUp(stopped());
  const onEnded = () => {
    if (state === 'opening') giveUp(unplugged());
    else if (state === 'open') listener.lost(unplugged().message);
  };

  try {
    const track = stream.getAudioTracks()[0];
    if (signal?.aborted) throw stopped();
    if (!track || track.readyState === 'ended') throw unplugged();
    signal?.addEventListener('abort', onAbort);
    track.addEventListener('ended', onEnded);
    context = new AudioContext({ latencyHint: 'balanced' });
    await Promise.race([context.audioWorklet.addModule(workletUrl), givenUp]);
    source = context.createMediaStreamSource(stream);
    node = new AudioWorkletNode(context, 'capture', { numberOfInputs: 1, numberOfOutputs: 0 });
    node.port.onmessage = ({ data }: MessageEvent<Float32Array>) => {
      if (state !== 'closed') listener.audio(data);
    };
    source.connect(node);
    // With leave to use the microphone this needs no gesture; a browser that waits for one is found out by
    // the silence it gives.
    context.resume().catch(() => {});
    state = 'open';
    return { sampleRate: context.sampleRate, close };
  } catch (error) {
    close();
    if (error instanceof MicrophoneError) throw error;
    throw new MicrophoneError(
      'engine-failed',
      `The sound of the microphone cannot be read: ${message(error)}`,
    );
  } finally {
    signal?.removeEventListener('abort', onAbort);
  }
}

const stopped = () => new MicrophoneError('aborted', 'Listening was stopped before the microphone opened.');
const unplugged = () => new MicrophoneError('no-device', 'The microphone was unplugged or taken away.');

const mediaDevices = () => globalThis.navigator?.mediaDevices as MediaDevices | undefined;

function browserGetMedia(): GetMedia | undefined {
  const devices = mediaDevices();
  return devices?.getUserMedia ? (constraints) => devices.getUserMedia(constraints) : undefined;
}

/** Does the browser list a microphone? It does so without leave to use it. One that does not say counts as a yes. */
export async function microphoneListed(): Promise<boolean> {
  const devices = await mediaDevices()
    ?.enumerateDevices?.()
    .catch(() => undefined);
  return devices?.some(({ kind }) => kind === 'audioinput') ?? true;
}

/** Calls when a microphone may have come. */
export function onMicrophones(listener: () => void): void {
  mediaDevices()?.addEventListener?.('devicechange', listener);
}

/** Names after "Media Capture and Streams" (W3C), getUserMedia(). */
function fromDomError(error: unknown): MicrophoneError {
  const name = (error as { name?: unknown } | undefined)?.name;
  switch (name) {
    case 'NotAllowedError':
    case 'SecurityError':
      return new MicrophoneError('denied', 'The browser was not given leave to use the microphone.');
    case 'NotFoundError':
    case 'OverconstrainedError':
      return new MicrophoneError('no-device', 'No microphone is connected.');
    case 'NotReadableError':
    case 'AbortError':
      return new MicrophoneError(
        'no-device',
        'The microphone is there, but does not open: another program may hold it.',
      );
    default:
      return new MicrophoneError('engine-failed', `The microphone cannot be opened: ${message(error)}`);
  }
}

function message(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
