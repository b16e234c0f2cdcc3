// @vitest-environment happy-dom
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { steadyTouch } from '../../src/app/shared/steadyTouch';

let button: HTMLButtonElement;
let pressed: number;
let off: () => void;
beforeEach(() => {
  vi.useFakeTimers();
  document.body.innerHTML = '<button>Go on</button>';
  button = document.querySelector('button')!;
  button.getBoundingClientRect = () => new DOMRect(100, 100, 300, 120);
  pressed = 0;
  button.addEventListener('click', () => pressed++);
  off = steadyTouch();
});
afterEach(() => {
  off();
  vi.useRealTimers();
});

const sends = (type: string, x: number, y: number, pointerType = 'touch') =>
  button.dispatchEvent(
    new PointerEvent(type, {
      bubbles: true,
      cancelable: true,
      pointerId: 1,
      pointerType,
      clientX: x,
      clientY: y,
    }),
  );

/** A finger from one place to another; `click`: the browser takes it for a tap. */
function finger(from: [number, number], to: [number, number], click = false) {
  sends('pointerdown', ...from);
  sends('pointermove', ...to);
  sends('pointerup', ...to);
  if (click) sends('click', ...to);
  vi.advanceTimersByTime(200);
}

describe('touch for unsteady hands', () => {
  it('a finger that slips within the button has pressed it, once', () => {
    finger([150, 150], [210, 130]);
    expect(pressed).toBe(1);
  });

  it('a tap is left to the browser', () => {
    finger([150, 150], [152, 151], true);
    expect(pressed).toBe(1);
    vi.advanceTimersByTime(1000);
    finger([150, 150], [158, 150], true);
    expect(pressed).toBe(2);
  });

  it('a finger that leaves the button, or scrolls, has pressed nothing', () => {
    finger([150, 150], [150, 300]);
    sends('pointerdown', 150, 150);
    sends('pointermove', 150, 180);
    sends('pointercancel', 150, 180);
    sends('pointerup', 150, 180);
    vi.advanceTimersByTime(200);
    expect(pressed).toBe(0);
  });

  it('a second tap in the same place at once presses nothing; elsewhere or later it does', () => {
    sends('click', 150, 150);
    sends('click', 155, 152);
    expect(pressed).toBe(1);
    sends('click', 300, 150);
    expect(pressed).toBe(2);
    off();
    off = steadyTouch();
    sends('click', 150, 150);
    expect(pressed).toBe(3);
  });

  it('leaves mouse and keyboard alone', () => {
    sends('click', 150, 150, 'mouse');
    sends('click', 150, 150, 'mouse');
    button.click();
    button.click();
    expect(pressed).toBe(4);
  });

  it('does not press a button that has gone', () => {
    sends('pointerdown', 150, 150);
    sends('pointermove', 180, 150);
    sends('pointerup', 180, 150);
    button.remove();
    vi.advanceTimersByTime(200);
    expect(pressed).toBe(0);
  });
});
