/*
 * Whether staff were led through the set-up of this kiosk, or did not want to be. Remembered by the browser; where it
 * keeps nothing, it is offered at each start.
 */

const name = 'ownwords-set-up';

export function wasLedThrough(storage: () => Storage = () => localStorage): boolean {
  try {
    return storage().getItem(name) !== null;
  } catch {
    return false;
  }
}

/** @param how for whoever looks into it: 'done' or 'later' */
export function rememberLedThrough(how: 'done' | 'later', storage: () => Storage = () => localStorage): void {
  try {
    storage().setItem(name, how);
  } catch {
    // It is offered again.
  }
}
