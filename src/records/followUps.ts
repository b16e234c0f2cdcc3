import type { VisitRecord } from './derive';
import { isMadeUp } from './invented';
import { recheckAfter } from './recheck';
import { nextBegun, nextIn } from './sitting';
import type { VisitStart } from './types';

/** What of a visit tells whether more is to come after it. No names, no words that were said. */
export interface Looked {
  visit: string;
  start: Pick<VisitStart, 'practice' | 'recheck' | 'sitting' | 'language'>;
  /** null: it is not over. */
  endedAt: string | null;
  /** Points that were left for a person. */
  open: number;
}

/** null: the beginning of the visit is lost. */
export function lookAt({ visit, start, state, endedAt, concepts }: VisitRecord): Looked | null {
  if (!visit || !start) return null;
  const { practice, recheck, sitting, language } = start;
  return {
    visit,
    start: { practice, language, ...(recheck ? { recheck } : {}), ...(sitting ? { sitting } : {}) },
    endedAt: state === 'open' ? null : endedAt,
    open: concepts.filter(({ outcome }) => outcome === 'needs-person').length,
  };
}

export interface FollowUp {
  /** Its open points wait for a re-check: due since then, or not before then. */
  recheck: { at: string; due: boolean } | null;
  /** The module that comes next in its sitting and has not begun, and the language it is taught in. */
  toCome: { module: string; language: string } | null;
}

/** By visit, those after which something is to come. */
export function followUps(looked: readonly Looked[], now: Date): Map<string, FollowUp> {
  const starts = looked.map(({ start }) => start);
  const rechecked = new Set(starts.map(({ recheck }) => recheck?.of));
  const found = looked.map(({ visit, start, endedAt, open }): [string, FollowUp] => {
    const waits =
      endedAt !== null && open > 0 && !isMadeUp({ visit, practice: start.practice }) && !rechecked.has(visit);
    const at = waits ? new Date(Date.parse(endedAt) + recheckAfter.least * 3_600_000) : null;
    const next = nextBegun(start, starts) ? null : nextIn(start);
    return [
      visit,
      {
        recheck: at && { at: at.toISOString(), due: at <= now },
        toCome: next && { module: next.module, language: start.language },
      },
    ];
  });
  return new Map(found.filter(([, { recheck, toCome }]) => recheck || toCome));
}
