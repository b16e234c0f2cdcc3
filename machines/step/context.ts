import type { Heard } from '../../src/hearing/types';
import type { Finding } from '../../src/scoring/types';
import type { Voice } from '../pace';
import { type StepProgress, stillMissed } from '../progress';
import type { PromptKey } from '../prompts';
import * as script from '../script';
import type { Home } from '../services';
import type { SnapshotOf } from '../snapshot';
import type { AnswerMode, Card, Timings, TurnRequest } from '../types';

export interface StepInput extends Voice {
  home: Home;
  words: script.Words;
  timings: Timings;
  mode: AnswerMode;
  progress: StepProgress;
}

export interface StepContext extends StepInput {
  wording: 'first' | 'repeat' | 'simplest';
  /** "Say it again" during this question; the second one explains once more. */
  agains: number;
  /** Times the learner said that it was taken down badly. */
  rejects: number;
  lead: PromptKey[];
  /** Said once before what this step says itself. */
  told: string[];
  /** The cards were not asked for. */
  offered: boolean;
  typed: string | null;
  heard: Heard | null;
  heardMode: 'voice' | 'touch' | 'typed';
  confirmed: boolean | null;
  chosen: Card[];
  /** Judged in this try. */
  judged: Finding[];
  /** The judge failed: a person has to look. */
  unjudged: boolean;
  inner: SnapshotOf | null;
}

/** As a step begins, or goes on from its progress. */
export const firstContext = ({ input }: { input: StepInput }): StepContext => ({
  ...input,
  wording: 'first',
  agains: 0,
  rejects: 0,
  lead: [],
  told: [],
  offered: false,
  typed: null,
  heard: input.progress.heard,
  heardMode: input.progress.mode,
  confirmed: null,
  chosen: [],
  judged: [],
  unjudged: false,
  inner: null,
});

/** The question of this try, in sentences. */
export const questionOf = ({ progress: p, words }: Pick<StepContext, 'progress' | 'words'>) =>
  script.question(words, p.step, p.attempt, p.asked, p.findings);

/** What the ear is opened for in this try. */
export const request = ({ progress: p, words }: StepContext): TurnRequest => ({
  kind: p.asked.length === 1 && script.asksApart(words, p.attempt, p.asked) ? 'short' : 'answer',
  language: words.start.language,
  module: words.start.module,
  step: p.step,
  concepts: p.asked,
});

/** Points that must be understood and are not yet. */
export const missed = ({ progress: p, words }: Pick<StepContext, 'progress' | 'words'>) =>
  stillMissed(words.lesson, p.step, p.findings);
