/* Weeks and months by the clock of this device. A week begins on Monday (ISO 8601). */

export const periodKinds = ['month', 'week'] as const;
export type PeriodKind = (typeof periodKinds)[number];

export interface Period {
  /** Its first day, such as "2026-03-02". */
  from: string;
}

const two = (part: number) => `${part}`.padStart(2, '0');
/** The day of a time by the clock of this device, such as "2026-03-05": as an input of a date has it, sorted by age. */
export function dayOf(at: string | number | Date): string {
  const date = new Date(at);
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

/** @param at a time, as text or ms */
export function periodOf(at: string | number, kind: PeriodKind): Period {
  const date = new Date(at);
  const day = kind === 'month' ? 1 : date.getDate() - ((date.getDay() + 6) % 7);
  return { from: dayOf(new Date(date.getFullYear(), date.getMonth(), day)) };
}

/** All from the one with the first time to the one with the last, both ms. */
export function periodsBetween(first: number, last: number, kind: PeriodKind): Period[] {
  const periods: Period[] = [];
  const end = periodOf(last, kind).from;
  let { from } = periodOf(first, kind);
  while (from <= end) {
    periods.push({ from });
    const [year = 0, month = 1, day = 1] = from.split('-').map(Number);
    const next = kind === 'month' ? new Date(year, month, 1) : new Date(year, month - 1, day + 7);
    from = dayOf(next);
  }
  return periods;
}
