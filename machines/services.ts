import type { AnyActorRef } from 'xstate';
import { fromCallback, fromPromise } from 'xstate';
import type { EngineId, Heard, HearEvent, Sound } from '../src/hearing/types';
import type { VisitFact } from '../src/records/types';
import type { Finding } from '../src/scoring/types';
import type { SpeakEnd, VoiceId } from '../src/speaking/types';
import type { Card, JudgeInput, Meaning, PersonEvent, TurnRequest } from './types';

/*
 * Everything the machines ask of the world. `makeVisit` and `makeKiosk` put the real ones (or, in tests,
 * fakes) in place of the ones below, which only say what is missing.
 */

export interface SpeakInput {
  sentences: string[];
  /** 1 is normal. */
  rate: number;
  /** 0..1 */
  volume: number;
  language: string;
}
/** Sent back by `speak`: SPEAKING as each sentence begins, then one SPOKEN. Stopping the actor is silence. */
export type SpeakSends = { type: 'SPEAKING'; index: number } | { type: 'SPOKEN'; end: SpeakEnd };

/**
 * Sent back by `listen`. `heard` of interim and final events holds all of the turn so far, not a piece.
 * ENGINE is optional: which ear is in use and why, before `ready`. SOUND is too: how the microphone did in
 * this turn, before its `end`.
 */
export type ListenSends =
  | { type: 'HEARING'; event: HearEvent }
  | { type: 'ENGINE'; ear: EngineId; why: string }
  | { type: 'SOUND'; sound: Sound };
/** Sent to `listen`: the speaker is done; decode, send a final and end. */
export type ListenTakes = { type: 'DONE' };

export interface InterpretInput {
  heard: Heard;
  kind: TurnRequest['kind'];
  language: string;
  /** Asked for in this turn; none outside a step. */
  concepts: string[];
}
export interface JudgeCardsInput {
  module: string;
  language: string;
  step: string;
  concepts: string[];
  cards: Card[];
}
export interface QuestionInput {
  module: string;
  language: string;
  text: string;
}
export type Answer = { id: string; says: string[] } | null;

export interface HelpCall {
  by: 'learner' | 'distress' | 'staff';
  text: string;
}
export type Earcon = 'your-turn' | 'heard' | 'thinking' | 'take-your-time';

const missing = (what: string) => () => {
  throw new Error(`No ${what} was given to the machines`);
};

export const speak = fromCallback<{ type: 'none' }, SpeakInput>(missing('voice'));
export const listen = fromCallback<ListenTakes, TurnRequest>(missing('ear'));
export const interpret = fromPromise<Meaning, InterpretInput>(missing('interpreter'));
export const judge = fromPromise<Finding[], JudgeInput>(missing('judge'));
export const judgeCards = fromPromise<Finding[], JudgeCardsInput>(missing('judge of cards'));
export const answerQuestion = fromPromise<Answer, QuestionInput>(missing('answerer'));
/** Stores facts in order, all or none; resolves when they are durable. Never called twice at once. */
export const record = fromPromise<void, VisitFact[]>(missing('record'));

export interface Services {
  speak: typeof speak;
  listen: typeof listen;
  interpret: typeof interpret;
  judge: typeof judge;
  judgeCards: typeof judgeCards;
  answerQuestion: typeof answerQuestion;
  record: typeof record;
  /** A short sound; never made by the machines while the ear is open, except the soft 'take-your-time'. */
  playEarcon: (name: Earcon, volume: number) => void;
  /** Tells the ward. The visit has recorded the call already. */
  callStaff: (call: HelpCall) => void;
}

/** What the inner machines tell the visit, whichever depth they run at. */
export type HomeEvent =
  | { type: 'FACTS'; facts: VisitFact[] }
  | { type: 'DISTRESS'; phrase: string }
  | { type: 'VOICE'; voice: VoiceId; why: string }
  | { type: 'ENGINE'; ear: EngineId; why: string }
  | { type: 'SOUND'; sound: Sound }
  | PersonEvent;

/** The visit, as its inner machines see it. */
export type Home = AnyActorRef;
