import type { Heard } from '../types';
import type { AnswerPhrases } from './phrases';

/** Page to worker. Sound of a turn is only taken between its `listen` and its `finish` or `cancel`. */
export type ToWorker =
  | { type: 'open'; language: string; modelBase: string }
  | { type: 'listen'; turn: number; phrases: AnswerPhrases; sampleRate: number }
  | { type: 'audio'; turn: number; samples: Float32Array }
  | { type: 'finish'; turn: number }
  | { type: 'cancel'; turn: number };

/** Worker to page. Every `audio` is answered with `took`, so a worker that hangs is noticed. */
export type FromWorker =
  | { type: 'opened' }
  | { type: 'failed'; detail: string }
  | { type: 'listening'; turn: number; unknown: string[] }
  | { type: 'took'; turn: number }
  | { type: 'level'; turn: number; dbfs: number; peak: number }
  | { type: 'speech-start'; turn: number }
  | { type: 'speech-end'; turn: number }
  | { type: 'interim'; turn: number; heard: Heard }
  | { type: 'finished'; turn: number; heard?: Heard };
