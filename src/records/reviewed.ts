import type { By, VisitEvent, VisitFact } from './types';

/*
 * What staff have added to the log after the visit. Pure. Nothing of it is ever rewritten: the newest counts, and what
 * it took the place of stays in the log.
 */

/** Who added it, and when. */
export interface Signed {
  at: string;
  by: By;
}

/** What a clinician decided about a point, in place of the judging. */
export interface Decision extends Signed {
  decision: Extract<VisitFact, { type: 'decided' }>['decision'];
  reason: string;
}

/** How far the record of a visit is vouched for. */
export interface SignOff {
  /** The last signature; null: there is none. */
  signed: Signed | null;
  /** Something was added to the log after it. */
  changedSince: boolean;
  /** It was signed before, and something was added between that and the last signature. */
  amended: boolean;
  /** When staff last added something else than a signature; null: never. */
  changedAt: string | null;
}

/** Was it added to the record by staff, after the visit? */
export const addedByStaff = (fact: VisitFact): boolean => 'by' in fact && typeof fact.by === 'object';

/** @param all in order */
export function signOffOf(all: readonly VisitEvent[]): SignOff {
  // With whom a visit is filed is no part of what was signed.
  const log = all.filter(({ fact }) => fact.type !== 'patient-checked');
  const signatures = log.filter(({ fact }) => fact.type === 'signed');
  const last = signatures.at(-1);
  const first = signatures[0];
  // Between two signatures of an unchanged record, as of two people, nothing was amended.
  const amended =
    first !== undefined &&
    last !== undefined &&
    log.some(({ seq, fact }) => seq > first.seq && seq < last.seq && fact.type !== 'signed');
  return {
    signed: last?.fact.type === 'signed' ? { at: last.at, by: last.fact.by } : null,
    changedSince: last !== undefined && log.at(-1) !== last,
    amended,
    changedAt: log.findLast(({ fact }) => addedByStaff(fact) && fact.type !== 'signed')?.at ?? null,
  };
}

/** The decision that counts about each point that has one. @param log in order */
export function decisionsOf(log: readonly VisitEvent[]): Map<string, Decision> {
  const found = new Map<string, Decision>();
  for (const { at, fact } of log) {
    if (fact.type === 'decided') {
      const { concept, decision, reason, by } = fact;
      found.set(concept, { at, by, decision, reason });
    } else if (fact.type === 'decision-taken-back') found.delete(fact.concept);
  }
  return found;
}

/** Something was left for a person at some time since the end of the visit, as a clinician saw it. */
export const everDecidedOpen = (log: readonly VisitEvent[]): boolean =>
  log.some(({ fact }) => fact.type === 'decided' && fact.decision === 'needs-person');

/** One question of the learner. */
export interface Question {
  /** Event number. */
  seq: number;
  at: string;
  text: string;
  /** What the teaching aid answered; null: kept for the care team. */
  answer: string | null;
  /** What staff answered after the visit. */
  staff: (Signed & { answer: string }) | null;
}

/** @param log in order */
export function questionsOf(log: readonly VisitEvent[]): Question[] {
  return log.flatMap(({ seq, at, fact }) => {
    if (fact.type !== 'question') return [];
    let staff: Question['staff'] = null;
    for (const later of log) {
      if (later.fact.type !== 'answered' || later.fact.question !== seq) continue;
      staff = { at: later.at, by: later.fact.by, answer: later.fact.answer };
    }
    return { seq, at, text: fact.text, answer: fact.answer, staff };
  });
}

/** Kept for the care team, and still without an answer. */
export const stillOpen = ({ answer, staff }: Pick<Question, 'answer' | 'staff'>): boolean =>
  answer === null && staff === null;
