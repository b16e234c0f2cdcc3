/*
 * A sample ward, to try things with, is told from a real one by the ids of its visits: UUIDs of version 8 (RFC 9562,
 * 5.8) that all begin alike, while those of real visits are random ones of version 4.
 */

const prefix = 'facade00-0000-8000-8000-';

export const inventedWard = 'Harbor 4 (invented)';

/** @param index from 0 */
export const inventedId = (index: number): string => `${prefix}${index.toString(16).padStart(12, '0')}`;

export const isInvented = (visit: string): boolean => visit.startsWith(prefix);

/** Nobody was taught in it: the practice visit, or one of the sample ward. Neither leaves the device as a record. */
export const isMadeUp = ({ practice, visit }: { practice: boolean; visit: string }): boolean =>
  practice || isInvented(visit);

/** Invented ids lie from the first of these to before the second, as text is sorted. */
export const inventedIds = [prefix, `${prefix}g`] as const;
