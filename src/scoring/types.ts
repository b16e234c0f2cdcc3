/** The four labels of a concept; defined in tests/corpora/LABELING.md. */
export const labels = ['understood', 'partial', 'missed', 'misconception'] as const;
export type Label = (typeof labels)[number];

/** A stretch of the answer as it was heard: UTF-16 offsets, end exclusive. */
export interface Span {
  start: number;
  end: number;
}

/** What one answer says about one concept. */
export interface Finding {
  concept: string;
  label: Label;
  /** Probability that the label is right, 0..1. */
  confidence: number;
  /** The words of the answer that decided it, in order. Empty when nothing was said about it. */
  evidence: Span[];
  /** Id of the first required part that was not said (label `partial`), for the smallest follow-up. */
  missing?: string;
  /** Id of the contradiction that fired (label `misconception`). */
  contradiction?: string;
  /** One plain sentence for a clinician. */
  reason: string;
}
