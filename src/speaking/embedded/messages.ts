/** To the worker. `load` comes first, once. */
export type Ask =
  | { id: number; do: 'load'; url: string }
  | { id: number; do: 'synthesize'; text: string; language: string; rate: number };

/** From the worker, one for each question. */
export type Reply =
  | { id: number; ok: true; samples?: Float32Array<ArrayBuffer>; sampleRate?: number }
  | { id: number; ok: false; error: string };
