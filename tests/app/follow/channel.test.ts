import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import {
  beat,
  type Channel,
  type Followed,
  follow,
  lostAfter,
  tellFollowers,
} from '../../../src/app/follow/channel';
import type { FollowView } from '../../../src/app/follow/followView';

/** Windows of one browser: what one posts, the others get. */
function windows() {
  const all: { listeners: ((event: MessageEvent) => void)[]; open: boolean }[] = [];
  const posted: unknown[] = [];
  const open = (): Channel => {
    const own = { listeners: [] as ((event: MessageEvent) => void)[], open: true };
    all.push(own);
    return {
      postMessage: (data: unknown) => {
        posted.push(data);
        for (const one of all) {
          if (one === own || !one.open) continue;
          for (const listener of one.listeners) listener({ data: structuredClone(data) } as MessageEvent);
        }
      },
      addEventListener: (_type: string, listener: unknown) => {
        own.listeners.push(listener as (event: MessageEvent) => void);
      },
      close: () => {
        own.open = false;
      },
    } as Channel;
  };
  return { open, posted };
}

const idle: FollowView = { show: 'idle', language: 'en', title: 'Hello' };
const help: FollowView = { show: 'help', language: 'en', title: 'Help', text: 'Help is called.' };

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

/** A kiosk whose view can be changed. */
function kiosk(open: () => Channel) {
  let view: FollowView | null = idle;
  let changed = () => {};
  const work = vi.fn(() => view);
  const stop = tellFollowers(
    work,
    (listener) => {
      changed = listener;
      return () => {
        changed = () => {};
      };
    },
    open(),
  );
  return {
    work,
    stop,
    show: (next: FollowView | null) => {
      view = next;
      changed();
    },
  };
}

describe('a window that follows', () => {
  const follower = (open: () => Channel) => {
    const seen: Followed[] = [];
    const stop = follow((followed) => seen.push(followed), open());
    return { seen, stop, last: () => seen.at(-1) };
  };

  it('shows the kiosk at once, whichever of the two was there first', () => {
    const { open } = windows();
    const { last } = follower(open);
    expect(last()).toBeUndefined();
    kiosk(open);
    vi.advanceTimersByTime(beat);
    expect(last()).toEqual({ view: idle, lost: false });
    const second = follower(open);
    expect(second.last()).toEqual({ view: idle, lost: false });
  });

  it('gets a call for help in the same moment', () => {
    const { open } = windows();
    const { show } = kiosk(open);
    const { last } = follower(open);
    show(help);
    expect(last()).toEqual({ view: help, lost: false });
  });

  it('is told what is unchanged only every two seconds', () => {
    const { open, posted } = windows();
    const { show } = kiosk(open);
    follower(open);
    const before = posted.length;
    for (let n = 0; n < 100; n += 1) show(idle);
    expect(posted.length).toBe(before);
  });

  it('has lost the kiosk when nothing comes for some seconds, keeps what it last saw, and finds it again', () => {
    const { open } = windows();
    const first = kiosk(open);
    const { last } = follower(open);
    first.show(help);
    vi.advanceTimersByTime(lostAfter * 3);
    expect(last()).toEqual({ view: help, lost: false });
    first.stop();
    vi.advanceTimersByTime(lostAfter);
    expect(last()).toEqual({ view: help, lost: true });
    kiosk(open);
    vi.advanceTimersByTime(beat);
    expect(last()).toEqual({ view: idle, lost: false });
  });

  it('has lost it where none was ever there, and where the browser has no such channel', () => {
    const { open } = windows();
    const { last } = follower(open);
    vi.advanceTimersByTime(lostAfter);
    expect(last()).toEqual({ view: null, lost: true });
    const seen: Followed[] = [];
    follow((followed) => seen.push(followed), null);
    expect(seen).toEqual([{ view: null, lost: true }]);
  });

  it('leaves out what is no message of the kiosk, which does not count as a sign of it either', () => {
    const { open } = windows();
    const { last } = follower(open);
    const stranger = open();
    for (let n = 0; n < 6; n += 1) {
      stranger.postMessage({
        kind: 'view',
        view: { show: 'idle', language: 'en', title: 'x', name: 'Ines Marlow' },
      });
      stranger.postMessage('hello');
      vi.advanceTimersByTime(1_000);
    }
    expect(last()).toEqual({ view: null, lost: true });
  });
});

describe('a kiosk', () => {
  it('works nothing out and says nothing until somebody follows', () => {
    const { open, posted } = windows();
    const { work, show } = kiosk(open);
    show(help);
    vi.advanceTimersByTime(60_000);
    expect(work).not.toHaveBeenCalled();
    expect(posted).toEqual([]);
    open().postMessage({ kind: 'hello' });
    expect(posted.at(-1)).toEqual({ kind: 'view', view: help });
  });

  it('says nothing while it has nothing to show', () => {
    const { open, posted } = windows();
    const { show } = kiosk(open);
    show(null);
    open().postMessage({ kind: 'hello' });
    vi.advanceTimersByTime(beat * 2);
    expect(posted).toEqual([{ kind: 'hello' }]);
  });
});
