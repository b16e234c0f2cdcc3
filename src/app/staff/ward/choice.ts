import type { VisitDigest } from '../../../records/ward/digest';
import { dayOf, type PeriodKind } from '../../../records/ward/periods';

/** How far back. */
export const spans = {
  weeks: 'Last 4 weeks',
  quarter: 'Last 3 months',
  year: 'Last 12 months',
  all: 'All',
} as const;
export type Span = keyof typeof spans | 'own';

/** What staff want to see. */
export interface Choice {
  module: string;
  span: Span;
  /** Days, both included; of a span of one's own only. Empty: open. */
  from: string;
  to: string;
  /** Re-checks ask before they teach: counted apart. */
  recheck: boolean;
  /** Empty: all. */
  language: string;
  by: PeriodKind;
}

/** The days, both included; empty: open. @param now a time */
export function daysOf(
  { span, from, to }: Pick<Choice, 'span' | 'from' | 'to'>,
  now: Date,
): { from: string; to: string } {
  if (span === 'own') return { from, to };
  const first = new Date(now);
  if (span === 'weeks') first.setDate(first.getDate() - 27);
  else if (span === 'quarter') first.setMonth(first.getMonth() - 3, first.getDate() + 1);
  else if (span === 'year') first.setFullYear(first.getFullYear() - 1, first.getMonth(), first.getDate() + 1);
  return { from: span === 'all' ? '' : dayOf(first), to: '' };
}

export function chosen(visits: readonly VisitDigest[], choice: Choice, now: Date): VisitDigest[] {
  const { from, to } = daysOf(choice, now);
  return visits.filter(({ module, recheck, language, at }) => {
    if (module !== choice.module || recheck !== choice.recheck) return false;
    if (choice.language && language !== choice.language) return false;
    const day = dayOf(at);
    return day >= from && (to === '' || day <= to);
  });
}

/** With how many visits each, most first. */
export function counted(values: readonly string[]): [value: string, visits: number][] {
  const counts = new Map<string, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
}

/** What is looked at first: the module with most visits, in its last twelve months. */
export const firstChoice = (visits: readonly VisitDigest[]): Choice => ({
  module: counted(visits.map(({ module }) => module))[0]?.[0] ?? '',
  span: 'year',
  from: '',
  to: '',
  recheck: false,
  language: '',
  by: 'month',
});
