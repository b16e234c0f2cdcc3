import * as z from 'zod/mini';

/** Tries that failed since the last that did not. */
export const failuresSchema = z.strictObject({
  count: z.int().check(z.gte(0)),
  last: z.nullable(z.iso.datetime()),
});
export type Failures = z.infer<typeof failuresSchema>;

export const none: Failures = { count: 0, last: null };

/** From so many on there is a delay; at so many nobody gets in by this id until others of the staff let it in. */
export const delayFrom = 5;
export const lockAt = 10;

/** Half a minute, doubled by each further failure, in ms. */
const delayAfter = (count: number) => (count < delayFrom ? 0 : 30_000 * 2 ** (count - delayFrom));

/** Milliseconds to wait before the next try, 0: none; null: locked. `locks` false: there is a delay only. */
export function waitOf({ count, last }: Failures, now: string, locks = true): number | null {
  if (locks && count >= lockAt) return null;
  const delay = delayAfter(Math.min(count, lockAt - 1));
  const passed = last === null ? delay : Date.parse(now) - Date.parse(last);
  // A clock that was set back makes nobody wait longer than the delay.
  return Math.max(0, Math.min(delay, delay - passed));
}

export const failedAgain = ({ count }: Failures, now: string): Failures => ({ count: count + 1, last: now });
