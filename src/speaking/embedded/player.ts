import { within } from '../pause';
import type { Sound } from './synthesizer';

/** Milliseconds a sound may take longer than its length before the audio output is held to be stuck. */
const grace = 2000;

/** The browser lets the page sound only after a press. */
export class SoundBlocked extends Error {
  override readonly name = 'SoundBlocked';
}

/**
 * Plays one sound to its end.
 * @param output where it goes; carries the volume
 * @returns 'aborted' at once when `signal` aborts
 * @throws SoundBlocked before a person has pressed anything, another Error when the output does not run
 */
export async function play(
  sound: Sound,
  output: AudioNode,
  begun: () => void,
  signal: AbortSignal,
): Promise<'finished' | 'aborted'> {
  const context = output.context as AudioContext;
  if (context.state !== 'running') {
    // Stays suspended until a person has touched the page.
    await within(context.resume(), grace, signal);
    if (signal.aborted) return 'aborted';
    if ((context.state as AudioContextState) !== 'running')
      throw new SoundBlocked(`the audio output is ${context.state}`);
  }
  if (signal.aborted) return 'aborted';
  const buffer = context.createBuffer(1, Math.max(1, sound.samples.length), sound.sampleRate);
  buffer.copyToChannel(sound.samples, 0);
  const source = context.createBufferSource();
  source.buffer = buffer;
  source.connect(output);
  const ended = new Promise<'finished'>((done) => {
    source.onended = () => done('finished');
  });
  try {
    source.start();
    begun();
    const result = await within(ended, buffer.duration * 1000 + grace, signal);
    if (result === 'late') throw new Error('the audio output stands still');
    return result;
  } finally {
    source.onended = null;
    source.stop();
    source.disconnect();
  }
}
