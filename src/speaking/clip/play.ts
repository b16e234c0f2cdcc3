import { pause, within } from '../pause';

/** What we need of an audio element; tests give a fake. */
export type Player = Pick<
  HTMLAudioElement,
  | 'src'
  | 'volume'
  | 'playbackRate'
  | 'defaultPlaybackRate'
  | 'preservesPitch'
  | 'duration'
  | 'currentTime'
  | 'error'
  | 'play'
  | 'pause'
  | 'onended'
  | 'onerror'
  | 'onplaying'
>;

/** Milliseconds. */
const startWait = 4000;
const grace = 2000;
const poll = 200;

/** The recording itself is at fault, not the output. */
export class UnplayableClip extends Error {
  override readonly name = 'UnplayableClip';
}

export interface HowToPlay {
  /** 1 is as it was recorded; the pitch stays. */
  rate: number;
  /** 0..1 */
  volume: number;
}

/**
 * Plays a recording to its end.
 * @returns 'aborted' at once when `signal` aborts
 * @throws UnplayableClip when it cannot be decoded, another Error when the output does not run
 */
export async function playClip(
  clip: Blob,
  { rate, volume }: HowToPlay,
  begun: () => void,
  signal: AbortSignal,
  makePlayer: () => Player = () => new Audio(),
): Promise<'finished' | 'aborted'> {
  if (signal.aborted) return 'aborted';
  const player = makePlayer();
  const address = URL.createObjectURL(clip);
  let state: 'waiting' | 'sounding' | 'over' = 'waiting';
  const wake = new AbortController();
  const over = () => {
    state = 'over';
    wake.abort();
  };
  player.onplaying = () => {
    if (state !== 'waiting') return;
    state = 'sounding';
    begun();
  };
  player.onended = over;
  player.onerror = over;
  try {
    player.preservesPitch = true;
    player.defaultPlaybackRate = rate;
    player.volume = Math.max(0, Math.min(1, volume));
    player.src = address;
    // Loading sets the rate back to the default one; both, for players that do not.
    player.playbackRate = rate;
    const started = await within(
      player.play().then(
        () => null,
        (error: unknown) => error,
      ),
      startWait,
      signal,
    );
    if (signal.aborted) return 'aborted';
    if (started === 'late') throw new Error('the recording did not start');
    if (started) throw problem(player, started);
    const stop = AbortSignal.any([signal, wake.signal]);
    let [at, still] = [-1, 0];
    while (state !== ('over' as typeof state)) {
      await pause(poll, stop);
      if (signal.aborted) return 'aborted';
      still = player.currentTime > at ? 0 : still + poll;
      at = player.currentTime;
      // Its end was not reported.
      if (at > 0 && at >= player.duration) break;
      if (still >= grace && state !== ('over' as typeof state))
        throw new Error('the audio output stands still');
    }
    if (player.error) throw problem(player, player.error);
    return 'finished';
  } finally {
    player.onplaying = null;
    player.onended = null;
    player.onerror = null;
    player.pause();
    URL.revokeObjectURL(address);
  }
}

/** Codes of MediaError and names of play() after the HTML standard: 3 decode, 4 not supported. */
function problem(player: Player, cause: unknown): Error {
  const { name = '', message = '' } = (cause ?? {}) as { name?: string; message?: string };
  const why = message || name || 'unknown';
  const undecoded = name === 'NotSupportedError' || (player.error?.code ?? 0) >= 3;
  return undecoded ? new UnplayableClip(why) : new Error(why);
}
