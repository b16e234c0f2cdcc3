import { type FollowMessage, type FollowView, followMessageSchema } from './followView';

const name = 'ownwords-follow';
/** What is unchanged is told again, so that a window knows that the kiosk is there, ms. */
export const beat = 2_000;
/** Without a word from the kiosk for so long, it is lost, ms. */
export const lostAfter = 6_000;

/** As much of a BroadcastChannel as is needed. */
export type Channel = Pick<BroadcastChannel, 'postMessage' | 'addEventListener' | 'close'>;

/** null: this browser has none. */
export const openChannel = (): Channel | null =>
  typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(name);

const read = (event: MessageEvent): FollowMessage | null =>
  followMessageSchema.safeParse(event.data).data ?? null;

/**
 * Tells following windows what the kiosk shows: at once when it changes, and every two seconds. Until one has said
 * that it is there, nothing is worked out. @returns what ends it
 */
export function tellFollowers(
  view: () => FollowView | null,
  changes: (listener: () => void) => () => void,
  channel = openChannel(),
): () => void {
  if (!channel) return () => {};
  let followed = false;
  let last = '';
  const send = (again: boolean) => {
    const now = followed ? view() : null;
    if (!now) return;
    const text = JSON.stringify(now);
    if (text === last && !again) return;
    last = text;
    channel.postMessage({ kind: 'view', view: now } satisfies FollowMessage);
  };
  channel.addEventListener('message', (event) => {
    if (read(event)?.kind !== 'hello') return;
    followed = true;
    send(true);
  });
  const timer = setInterval(() => send(true), beat);
  const stop = changes(() => send(false));
  return () => {
    clearInterval(timer);
    stop();
    channel.close();
  };
}

/** What came last from the kiosk, and whether it is still heard. */
export interface Followed {
  /** null: nothing has come yet. */
  view: FollowView | null;
  lost: boolean;
}

/** Follows the kiosk. What is no message of ours is left out. @returns what ends it */
export function follow(onChange: (followed: Followed) => void, channel = openChannel()): () => void {
  let view: FollowView | null = null;
  if (!channel) {
    onChange({ view, lost: true });
    return () => {};
  }
  let timer: ReturnType<typeof setTimeout>;
  const wait = () => {
    clearTimeout(timer);
    timer = setTimeout(() => onChange({ view, lost: true }), lostAfter);
  };
  channel.addEventListener('message', (event) => {
    const message = read(event);
    if (message?.kind !== 'view') return;
    view = message.view;
    onChange({ view, lost: false });
    wait();
  });
  const hello = () => channel.postMessage({ kind: 'hello' } satisfies FollowMessage);
  // A kiosk that is loaded anew does not know yet that it is followed.
  const asking = setInterval(hello, beat);
  wait();
  hello();
  return () => {
    clearTimeout(timer);
    clearInterval(asking);
    channel.close();
  };
}
