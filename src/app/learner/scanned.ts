/** Things of the learner; `data-for-staff` marks what is theirs to leave alone. */
const choosable = 'button:not([disabled]):not([data-for-staff])';

/** What a switch can choose now, in reading order: a dialog that lies over the page shuts out the rest. */
export function scannedThings(root: Document): HTMLButtonElement[] {
  const within = root.querySelector('dialog[open]') ?? root.querySelector('main');
  return [...(within?.querySelectorAll<HTMLButtonElement>(choosable) ?? [])];
}

/** How a thing is called. */
export const calledName = (thing: HTMLElement): string =>
  (thing.getAttribute('aria-label') ?? thing.textContent ?? '').trim();

/** The one big button, if there is just one. */
export function mainButton(root: Document): HTMLButtonElement | null {
  const [button, ...more] = root.querySelectorAll<HTMLButtonElement>('[data-main] button:not([disabled])');
  return more.length === 0 ? (button ?? null) : null;
}
