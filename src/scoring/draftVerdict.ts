import { type Draft, lookAt } from './draft';
import { draftOdds } from './draftModel';
import type { Facts } from './pattern';
import type { Label } from './types';

/** Below this probability a drafted concept is not called understood but left to a person as partial. */
const sure = 0.5;

export interface DraftVerdict {
  label: Label;
  /** Probability of the label, 0..1. */
  confidence: number;
  /** Token positions. */
  at: number[];
  contradiction?: string;
  reason: string;
}

/** Judges what was found in an answer against a concept known by plain sentences alone. */
export function judgeDraft(draft: Draft, says: string, facts: Facts): DraftVerdict {
  const { question, past } = facts.standing;
  const look = lookAt(draft, facts.tokens, facts.negations, (at) => Boolean(question[at] || past[at]));
  const odds = draftOdds(look.clues);
  const ranked = (Object.entries(odds) as [Label, number][]).sort((a, b) => b[1] - a[1]);
  let [label, confidence] = ranked[0]!;
  if (label === 'missed' || look.at.length === 0)
    return { label: 'missed', confidence: odds.missed, at: [], reason: `Nothing like "${says}" was said.` };
  if (label === 'misconception')
    return { label, confidence, at: look.at, contradiction: 'turned', reason: `Goes against "${look.text}"` };
  if (label === 'understood' && confidence >= sure)
    return { label, confidence, at: look.at, reason: `Close to "${look.text}"` };
  if (label === 'understood') {
    label = 'partial';
    confidence = odds.partial;
  }
  return { label, confidence, at: look.at, reason: `Only part of "${says}" was said for sure.` };
}
