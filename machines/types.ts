import type { JudgingFile } from '../phrasebanks/judging';
import type { CommonFile, ModuleFile, TeachingFile } from '../phrasebanks/schema';
import type { EndReason, EngineId, Heard } from '../src/hearing/types';
import type { VisitFact, VisitStart } from '../src/records/types';
import type { Card, Finding } from '../src/scoring/types';
import type { Voice } from './pace';

/** The texts a visit needs, in one language. */
export interface Lesson {
  module: ModuleFile;
  teaching: TeachingFile;
  common: CommonFile;
  /** Where the order of what is done matters: cards are then tapped in that order. */
  judging?: Pick<JudgingFile, 'order'>;
}

/** Milliseconds. site.json may change each. */
export interface Timings {
  /** Quiet between our own voice and the open microphone. */
  quietTail: number;
  /** Silence that ends a short answer (yes/no, one missing piece). */
  shortPause: number;
  /** Silence after which "take your time" is shown and said; the microphone stays open. */
  longPause: number;
  /** Silence that ends an open answer. */
  closePause: number;
  /** Nothing heard at all. */
  nothingHeard: number;
  /** Longest turn. */
  longestTurn: number;
  /** No answer from an engine after it was told to finish. */
  engineStuck: number;
}

export type { Card, Meaning } from '../src/scoring/types';

export interface TurnRequest {
  /** 'answer': an open teach-back; 'short': one missing piece; 'yes-no'; 'question': the learner asks us. */
  kind: 'answer' | 'short' | 'yes-no' | 'question';
  language: string;
  module: string;
  step: string;
  concepts: string[];
}

/** Everything a machine may ask of the world. The app gives the real ones; tests give fakes. */
export interface JudgeInput {
  module: string;
  language: string;
  step: string;
  concepts: string[];
  heard: Heard;
}
export interface VisitInput {
  start: VisitStart;
  lesson: Lesson;
  timings: Timings;
  /** Facts of an interrupted visit; empty for a new one. */
  past: VisitFact[];
  /**
   * No ear on this device knows the language, and the site allows one that sends the voice out: the learner is
   * asked first, once a visit. Left out: never asked and never used.
   */
  askCloud?: boolean;
  /** What the lesson after this one is about, in the words of a sentence: "your inhaler". Left out: none follows. */
  next?: string;
  /** How to speak from the start; left out: as every visit begins. */
  voice?: Voice;
}

/** How questions are answered: by speaking, or (after trouble, or by choice) by tapping and typing. */
export type AnswerMode = 'voice' | 'cards';

export type VisitScreen =
  | 'resume' // "shall we go on?"
  | 'cloud' // "may your voice go over the internet?": two buttons, the ear stays closed
  | 'sound-check'
  | 'explain'
  | 'ask' // the question is being said
  | 'listen'
  | 'confirm' // "I heard: ... Is that right?"
  | 'think' // judging
  | 'respond' // praise, or teaching again
  | 'handover' // a person will go over this with you
  | 'question' // the learner asks
  | 'answer' // we answer
  | 'show-me'
  | 'help'
  | 'paused'
  | 'trouble' // microphone or recogniser; always with a next thing to do
  | 'cards' // answering by touch
  | 'summary'
  | 'ended';

/** All that a screen needs. Derived from a snapshot by `viewOf`. */
export interface VisitView {
  screen: VisitScreen;
  step: {
    id: string;
    title: string;
    picture: string;
    pictureText: string;
    index: number;
    count: number;
  } | null;
  /** The sentences being said, and which of them sounds now (-1: silence). */
  captions: string[];
  speaking: number;
  listening: 'off' | 'opening' | 'waiting' | 'hearing' | 'pausing' | 'take-your-time' | 'closing';
  /** Loudness of the microphone, dBFS. */
  level: number;
  interim: string;
  heard: Heard | null;
  /** Latest finding of each concept of this step. */
  findings: Finding[];
  /** What is asked of this step now, to be kept in sight while listening; empty outside a step. */
  question: string;
  /** Concepts asked for in this turn. */
  asked: string[];
  attempt: number;
  attempts: number;
  trouble: EndReason | null;
  ear: EngineId | null;
  rate: number;
  volume: number;
  /** What kind of answer is asked for now; 'yes-no' wants the two buttons. null: none is. */
  expects: TurnRequest['kind'] | null;
  mode: AnswerMode;
  /** Audio-only: the learner goes by what is said, so the big button does what the voice tells. */
  byEar: boolean;
  /** Show-me points ticked so far. */
  shown: Record<string, boolean>;
  /** Who called, on the help screen. */
  help: 'learner' | 'distress' | 'staff' | null;
  /** A sentence that is shown and never said: take your time, thinking, not saved. '' for none. */
  note: string;
  /** Facts that could not be stored yet although storing was tried; more than 0 is shown to staff. */
  unsaved: number;
  /** Facts on their way to the store; 0: all that was said and shown is kept. */
  storing: number;
}

/** What a person can do. Buttons, keys and voice commands all end up here. */
export type PersonEvent =
  | { type: 'GO_ON' } // next; also "yes, go on" on resume
  | { type: 'DONE' } // I have finished speaking
  | { type: 'AGAIN' }
  | { type: 'SLOWER' }
  | { type: 'FASTER' }
  | { type: 'LOUDER' }
  | { type: 'SOFTER' }
  | { type: 'WHERE' } // where are we?
  | { type: 'YES' }
  | { type: 'NO' }
  | { type: 'ASK' } // I have a question
  | { type: 'HELP' }
  | { type: 'HELP_OVER' }
  | { type: 'PAUSE' }
  | { type: 'STOP' } // the first one pauses; a second one, while paused, ends the visit
  | { type: 'USE_CARDS' }
  | { type: 'USE_VOICE' }
  | { type: 'CARDS'; chosen: Card[] }
  | { type: 'TYPE'; text: string }
  | { type: 'SHOWN'; point: string; shown: boolean };
