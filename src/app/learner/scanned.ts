/** Things of the learner; `data-for-staff` marks what is theirs to leave alone. */
const choosable = 'button:not([disabled]):not([data-for-staff])';

const turn: Record<string, number> = { first: 0, last: 2 };

/**
 * What a switch can choose now, in reading order, save what says by `data-turn` that it comes first (the call for
 * help) or last. A dialog that lies over the page shuts out the rest.
 */
export function scannedThings(root: Document): HTMLButtonElement[] {
  const within = root.querySelector('dialog[open]') ?? root.querySelector('main');
  const turnOf = ({ dataset }: HTMLElement) => turn[dataset.turn ?? ''] ?? 1;
  return [...(within?.querySelectorAll<HTMLButtonElement>(choosable) ?? [])].sort(
    (a, b) => turnOf(a) - turnOf(b),
  );
}

/** How a thing is called. */
export const calledName = (thing: HTMLElement): string =>
  (thing.getAttribute('aria-label') ?? thing.textContent ?? '').trim();

/** The one big button, if there is just one. */
export function mainButton(root: Document): HTMLButtonElement | null {
  const [button, ...more] = root.querySelectorAll<HTMLButtonElement>('[data-main] button:not([disabled])');
  return more.length === 0 ? (button ?? null) : null;
}
