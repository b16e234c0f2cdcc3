/** Why the store cannot do what it was asked. The message is a plain sentence for staff. */
export const storeErrorCodes = [
  'full', // no room left on the device
  'refused', // the browser keeps nothing here: private window, blocked by policy
  'unsupported', // the browser lacks something the store needs
  'read-only', // another window writes
  'blocked', // another window holds an older version open
  'newer-version', // the data was written by a newer Ownwords
  'lost', // the connection went away: data cleared, disk gone
  'sealed', // readable only while staff have opened
  'broken-seal', // the key of a visit does not open
  'invalid', // what was to be written does not fit the log
  'failed', // anything else the browser reports
] as const;
export type StoreErrorCode = (typeof storeErrorCodes)[number];

const sentences: Record<StoreErrorCode, string> = {
  full: 'This device has no room left, so nothing more can be saved. Erase visits that are already in the chart, or use another kiosk.',
  refused:
    'This browser does not let Ownwords save anything. It may be a private window, or storage may be switched off.',
  unsupported: 'This browser cannot save visits safely. Use a current browser and a secure address (https).',
  'read-only':
    'Ownwords is already open in another window, and only that one can save. Go on there, or close it: then this one can.',
  blocked: 'An older Ownwords is still open in another window. Close that window, then load this page again.',
  'newer-version':
    'The visits on this device were saved by a newer Ownwords. Load the newest version; nothing was changed.',
  lost: 'The browser closed the saved visits. Print or copy the note of a running visit before you load this page again.',
  sealed: 'This visit is sealed. Staff can read it, or go on with it, under Visits and with their secret.',
  'broken-seal': 'A key does not open, so nothing was read or changed. Tell your administrator.',
  invalid: 'This entry does not fit the visit log and was not saved.',
  failed: 'Saving did not work.',
};

export class StoreError extends Error {
  override readonly name = 'StoreError';
  constructor(
    readonly code: StoreErrorCode,
    /** What and where, for the log; added to the sentence. */
    readonly detail = '',
    options?: ErrorOptions,
  ) {
    super(detail ? `${sentences[code]} (${detail})` : sentences[code], options);
  }
}

const byName: Record<string, StoreErrorCode> = {
  QuotaExceededError: 'full',
  VersionError: 'newer-version',
  SecurityError: 'refused',
  NotAllowedError: 'refused',
};

/** Any failure of IndexedDB as a StoreError. `opening`: a browser that refuses does so in several ways at open. */
export function toStoreError(cause: unknown, opening = false): StoreError {
  if (cause instanceof StoreError) return cause;
  const name = cause instanceof Error || cause instanceof DOMException ? cause.name : '';
  const message = cause instanceof Error || cause instanceof DOMException ? cause.message : String(cause);
  const detail = name ? `${name}: ${message}` : message;
  const known = byName[name];
  if (known) return new StoreError(known, detail, { cause });
  // Private windows of some browsers fail to open with InvalidStateError or UnknownError.
  if (opening && (name === 'InvalidStateError' || name === 'UnknownError')) {
    return new StoreError('refused', detail, { cause });
  }
  // "The database connection is closing": the browser or the user took it away.
  if (name === 'InvalidStateError') return new StoreError('lost', detail, { cause });
  return new StoreError('failed', detail, { cause });
}
