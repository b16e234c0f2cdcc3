/** A tap that moves less than this is a click to every browser, px (the smallest slop in use: 8 on Android). */
const still = 5;
/** Time for the browser's own click after a finger has left, ms. */
const ownClick = 80;
/** Two taps so close in time (ms) and place (px) are one tap of an unsteady hand (own choice). */
const twice = { within: 350, apart: 40 };

/**
 * Touch for unsteady hands, on the whole page. A finger that slips, but leaves the button inside it, has pressed it:
 * browsers drop such a tap after some 15 px. And a second tap in the same place at once does not press what the
 * first one has just brought there. Switches itself on; @returns a function that switches it off.
 */
export function steadyTouch(): () => void {
  let down: { button: HTMLElement; pointer: number; x: number; y: number; slipped: boolean } | null = null;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let last = { at: Number.NEGATIVE_INFINITY, x: 0, y: 0 };

  const isFinger = (event: Event): event is PointerEvent =>
    event instanceof PointerEvent && (event.pointerType === 'touch' || event.pointerType === 'pen');

  const press = (event: Event) => {
    down = null;
    if (!isFinger(event) || !(event.target instanceof Element)) return;
    const button = event.target.closest<HTMLElement>('button');
    const { pointerId: pointer, clientX: x, clientY: y } = event;
    if (button) down = { button, pointer, x, y, slipped: false };
  };
  const move = (event: Event) => {
    if (!down || !isFinger(event) || event.pointerId !== down.pointer) return;
    if (Math.hypot(event.clientX - down.x, event.clientY - down.y) > still) down.slipped = true;
  };
  const leave = (event: Event) => {
    if (!down || !isFinger(event) || event.pointerId !== down.pointer) return;
    const { button, slipped } = down;
    down = null;
    if (!slipped) return;
    const { left, right, top, bottom } = button.getBoundingClientRect();
    const { clientX: x, clientY: y } = event;
    if (x < left || x > right || y < top || y > bottom) return;
    clearTimeout(waiting);
    waiting = setTimeout(() => button.isConnected && button.click(), ownClick);
  };
  const cancel = () => {
    down = null;
  };
  const click = (event: Event) => {
    clearTimeout(waiting);
    if (!isFinger(event)) return;
    const now = { at: event.timeStamp, x: event.clientX, y: event.clientY };
    const again = now.at - last.at < twice.within && Math.hypot(now.x - last.x, now.y - last.y) < twice.apart;
    last = now;
    if (!again) return;
    event.preventDefault();
    event.stopPropagation();
  };

  const heard = {
    pointerdown: press,
    pointermove: move,
    pointerup: leave,
    pointercancel: cancel,
    click,
  };
  for (const [type, act] of Object.entries(heard)) document.addEventListener(type, act, { capture: true });
  return () => {
    clearTimeout(waiting);
    for (const [type, act] of Object.entries(heard))
      document.removeEventListener(type, act, { capture: true });
  };
}
