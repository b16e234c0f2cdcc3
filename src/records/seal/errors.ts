/** A sentence for staff. */
export class AccessError extends Error {
  override readonly name = 'AccessError';
}
