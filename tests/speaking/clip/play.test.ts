import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Player, playClip, UnplayableClip } from '../../../src/speaking/clip/play';

/** An audio element that plays for two seconds. What goes amiss is chosen by the test. */
class FakePlayer {
  src = '';
  volume = 1;
  playbackRate = 1;
  defaultPlaybackRate = 1;
  preservesPitch = false;
  duration = 2;
  currentTime = 0;
  error: { code: number; message: string } | null = null;
  onplaying: (() => void) | null = null;
  onended: (() => void) | null = null;
  onerror: (() => void) | null = null;
  paused = true;
  fails: 'nothing' | 'start' | 'hangs at start' | 'halfway' | 'stands still' | 'never told' = 'nothing';
  refusal = new DOMException('no source', 'NotSupportedError');
  #clock: ReturnType<typeof setInterval> | undefined;

  play = async () => {
    if (this.fails === 'start') throw this.refusal;
    if (this.fails === 'hangs at start') await new Promise(() => {});
    this.paused = false;
    this.onplaying?.();
    if (this.fails === 'stands still') return;
    this.#clock = setInterval(() => {
      this.currentTime += 0.1 * this.playbackRate;
      if (this.fails === 'halfway' && this.currentTime > 1) {
        this.error = { code: 3, message: 'broken data' };
        clearInterval(this.#clock);
        this.onerror?.();
      }
      if (this.currentTime >= this.duration) {
        clearInterval(this.#clock);
        if (this.fails !== 'never told') this.onended?.();
      }
    }, 100);
  };
  pause = () => {
    this.paused = true;
    clearInterval(this.#clock);
  };
}

describe('playing a recording', () => {
  let player: FakePlayer;
  let begun: number;
  let stop: AbortController;
  let result: Promise<string>;

  const play = (rate = 1, volume = 0.8) => {
    result = playClip(
      new Blob(['x']),
      { rate, volume },
      () => begun++,
      stop.signal,
      () => player as unknown as Player,
    );
    result.catch(() => {});
    return result;
  };

  beforeEach(() => {
    vi.useFakeTimers();
    player = new FakePlayer();
    begun = 0;
    stop = new AbortController();
    vi.spyOn(URL, 'revokeObjectURL');
  });
  afterEach(() => {
    // Whatever happened, the sound is off and its bytes are let go.
    expect(player.paused).toBe(true);
    expect(URL.revokeObjectURL).toHaveBeenCalledWith(player.src);
    vi.useRealTimers();
    vi.restoreAllMocks();
  });

  it('plays to the end, as loud and as fast as asked, with its pitch', async () => {
    play(0.75, 0.4);
    await vi.advanceTimersByTimeAsync(5000);
    expect(await result).toBe('finished');
    expect(begun).toBe(1);
    expect(player).toMatchObject({
      volume: 0.4,
      playbackRate: 0.75,
      defaultPlaybackRate: 0.75,
      preservesPitch: true,
    });
  });

  it('stops at once', async () => {
    play();
    await vi.advanceTimersByTimeAsync(500);
    stop.abort();
    await vi.advanceTimersByTimeAsync(0);
    expect(await result).toBe('aborted');
  });

  it('tells a recording that the browser does not know', async () => {
    player.fails = 'start';
    await expect(play()).rejects.toThrow(UnplayableClip);
    expect(begun).toBe(0);
  });

  it('tells a page that may not sound yet from a bad recording', async () => {
    player.fails = 'start';
    player.refusal = new DOMException('press something first', 'NotAllowedError');
    await expect(play()).rejects.toThrow(/press something/);
    await expect(result).rejects.not.toThrow(UnplayableClip);
  });

  it('tells a recording that breaks off', async () => {
    player.fails = 'halfway';
    play();
    await vi.advanceTimersByTimeAsync(3000);
    await expect(result).rejects.toThrow(UnplayableClip);
  });

  it('does not wait for ever for a beginning', async () => {
    player.fails = 'hangs at start';
    play();
    await vi.advanceTimersByTimeAsync(5000);
    await expect(result).rejects.toThrow(/did not start/);
  });

  it('notices the end though it is never reported', async () => {
    player.fails = 'never told';
    play();
    await vi.advanceTimersByTimeAsync(3000);
    expect(await result).toBe('finished');
  });

  it('does not wait for ever in the middle', async () => {
    player.fails = 'stands still';
    play();
    await vi.advanceTimersByTimeAsync(5000);
    await expect(result).rejects.toThrow(/stands still/);
  });
});
