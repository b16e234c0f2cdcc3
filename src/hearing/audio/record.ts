import { join } from './join';
import { dbfs } from './level';
import { MicrophoneError, type MicrophoneOptions, openMicrophone } from './microphone';
import type { Sound } from './wav';

/** Milliseconds. A sentence is no longer. */
const longest = 60_000;
/** Sound comes in pieces of about 50 ms: the last one is waited for. */
const lastPiece = 100;

/** One person near the kiosk, which is silent meanwhile: there is no echo to take out. */
const constraints: MediaTrackConstraints = {
  echoCancellation: false,
  noiseSuppression: true,
  autoGainControl: true,
  channelCount: 1,
};

export interface RecordRequest extends MicrophoneOptions {
  /** Ends the recording, which is kept. */
  done: AbortSignal;
  /** About 20 a second, dBFS. The first one comes when the microphone is open. */
  onLevel?: (dbfs: number) => void;
  /** Stands in for openMicrophone in tests. */
  open?: typeof openMicrophone;
}

/**
 * Records from the microphone until `done` or for a minute. The microphone is closed when it settles.
 * Rejects with a MicrophoneError; when `signal` aborts with reason 'aborted', and nothing is kept.
 */
export async function record(
  { done, onLevel, open = openMicrophone, ...options }: RecordRequest,
  signal: AbortSignal,
): Promise<Sound> {
  const pieces: Float32Array[] = [];
  let resolve = () => {};
  let reject = (_: MicrophoneError) => {};
  const over = new Promise<void>((kept, lost) => {
    resolve = kept;
    reject = lost;
  });
  over.catch(() => {}); // it may be lost before anybody waits for it
  const microphone = await open(
    {
      audio: (samples) => {
        pieces.push(samples);
        onLevel?.(dbfs(samples));
      },
      lost: (detail) => reject(new MicrophoneError('no-device', detail)),
    },
    { constraints, ...options },
    signal,
  );
  const abort = () => reject(new MicrophoneError('aborted', 'The recording was stopped.'));
  const finish = () => setTimeout(resolve, lastPiece);
  const limit = setTimeout(resolve, longest);
  signal.addEventListener('abort', abort);
  done.addEventListener('abort', finish);
  if (signal.aborted) abort();
  if (done.aborted) finish();
  try {
    await over;
    return { sampleRate: microphone.sampleRate, samples: join(...pieces) };
  } finally {
    clearTimeout(limit);
    signal.removeEventListener('abort', abort);
    done.removeEventListener('abort', finish);
    microphone.close();
  }
}
