import { type RefObject, useEffect } from 'react';
import { noBurst, take } from './wedge';

type Writable = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

const isWritable = (target: unknown): target is Writable =>
  target instanceof HTMLInputElement ||
  target instanceof HTMLTextAreaElement ||
  target instanceof HTMLSelectElement;

/** Inputs that take what is typed as text. */
const takesText = (target: unknown): boolean =>
  target instanceof HTMLTextAreaElement ||
  (target instanceof HTMLInputElement && !['checkbox', 'radio', 'button', 'submit'].includes(target.type));

/** As if a person had written it, so that whoever listens knows. */
function write(field: Writable, value: string): void {
  // The browser's own setter: React wraps that of the element, and would take no notice of the change.
  Object.getOwnPropertyDescriptor(Object.getPrototypeOf(field), 'value')?.set?.call(field, value);
  field.dispatchEvent(new Event('input', { bubbles: true }));
  if (field instanceof HTMLSelectElement) field.dispatchEvent(new Event('change', { bubbles: true }));
}

/**
 * What a scanner reads lands in the field, wherever the focus is: what it wrote elsewhere on the way is taken back, and
 * the Enter at its end does nothing. Of more than `longest` characters nothing is kept. Keys of people pass.
 */
export function useWedge(
  field: RefObject<HTMLInputElement | null>,
  longest: number,
  onScan: (text: string) => void,
): void {
  useEffect(() => {
    let burst = noBurst;
    let last: EventTarget | null = null;
    let before: { at: EventTarget | null; value: string } = { at: null, value: '' };
    const press = (event: KeyboardEvent) => {
      if (event.isComposing) return;
      // The time is that of the key, however busy the page was.
      const { key, repeat, timeStamp, target } = event;
      // A scan does not move the focus.
      if (target !== last) burst = noBurst;
      last = target;
      const chord = event.ctrlKey || event.altKey || event.metaKey;
      const step = take(burst, { key, at: timeStamp, repeat, chord });
      burst = step.burst;
      if (burst.keys === 1) before = { at: target, value: isWritable(target) ? target.value : '' };
      if (step.machine && (step.scanned !== null || chord || !takesText(target))) event.preventDefault();
      if (step.scanned === null) return;
      event.stopPropagation();
      const { at, value } = before;
      if (isWritable(at) && at !== field.current && at.value !== value) write(at, value);
      if (field.current) write(field.current, step.scanned.length > longest ? '' : step.scanned);
      onScan(step.scanned);
    };
    // Before the form, or a button with the focus, has seen the key.
    document.addEventListener('keydown', press, true);
    return () => document.removeEventListener('keydown', press, true);
  }, [field, longest, onScan]);
}
