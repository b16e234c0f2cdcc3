/** Something in a phrasebank that its author should change. */
export interface Problem {
  file: string;
  /** Where in the file, as JSON path: steps.puff.teach[2] */
  path: string;
  /** What is the matter and what to do. */
  problem: string;
}
