import type { Period, PeriodKind } from '../../../records/ward/periods';
import { type Share, wilson } from '../../../records/ward/share';
import { dayName } from '../../shared/dates';

/** Of fewer visits nothing is drawn: the counts say what there is to say. */
export const fewest = 5;

export const count = (n: number, one: string, many = `${one}s`): string =>
  `${n.toLocaleString('en')} ${n === 1 ? one : many}`;

/** "7 of 9"; none: "–". */
export const told = ({ k, n }: Share): string =>
  n === 0 ? '–' : `${k.toLocaleString('en')} of ${n.toLocaleString('en')}`;

/** "45 to 94 %", the interval; none: "". */
export function interval(share: Share): string {
  const found = wilson(share);
  if (!found) return '';
  const percent = (part: number) => Math.round(100 * part);
  return `${percent(found.low)} to ${percent(found.high)}\u00a0%`;
}

const months = new Intl.DateTimeFormat('en', { month: 'short', year: 'numeric' });

/** "Mar 2026"; "Week of Mar 2, 2026". */
export const periodName = ({ from }: Period, kind: PeriodKind): string =>
  kind === 'month' ? months.format(new Date(`${from}T12:00`)) : `Week of ${dayName(from)}`;
