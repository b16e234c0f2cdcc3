import type { CommandName } from '../../phrasebanks/commands';

export type { CommandName };

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
  /** A step told in the wrong order; stands at the later of the two concepts. */
  order?: { id: string; says: string };
  /** true: ask "did I hear you right?" before anything hangs on it. */
  doubtful?: boolean;
  /** One plain sentence for a clinician. */
  reason: string;
}

/** What judging needs of an utterance; `Heard` of src/hearing fits it. */
export interface Utterance {
  text: string;
  confidence: number;
  alternatives: { text: string; confidence: number }[];
  words?: { word: string; confidence: number }[];
}

/** What one utterance turned out to be. */
export type Meaning =
  | { kind: 'answer' }
  | { kind: 'command'; command: CommandName }
  | { kind: 'distress'; phrase: string };

/** A tapped card: the right way, or one of the usual wrong ways. */
export interface Card {
  concept: string;
  text: string;
  /** Id of the contradiction that the card states; absent on the right card. */
  contradiction?: string;
}
