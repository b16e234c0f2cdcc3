/** How an answer reached us. The visit records it. */
export const engineIds = ['browser-local', 'browser-cloud', 'embedded', 'touch', 'typed'] as const;
export type EngineId = (typeof engineIds)[number];

export interface HeardWord {
  word: string;
  /** 0..1 */
  confidence: number;
}

/** What was heard in one turn, or so far. */
export interface Heard {
  text: string;
  /** Probability that the text is right enough to judge, 0..1. */
  confidence: number;
  /** Other readings, best first, without `text`. */
  alternatives: { text: string; confidence: number }[];
  words?: HeardWord[];
  engine: EngineId;
}

/** Why listening ended. Each has one thing to do next; see machines/turn. */
export const endReasons = [
  'finished', // done() was asked for, or the engine ended by itself after speech
  'nothing-heard', // ended without any speech
  'aborted', // we stopped it
  'denied', // microphone permission refused
  'no-device', // no microphone, or it was unplugged
  'engine-failed', // the recogniser did not load, crashed or hung
  'language-missing', // this engine cannot do the language
  'network', // a network engine lost its service
] as const;
export type EndReason = (typeof endReasons)[number];

/** A stream of these ends with exactly one `end`. */
export type HearEvent =
  | { type: 'ready' } // the microphone is open and the engine hears
  /** Loudness of the microphone, about 10 a second. `peak`: dBFS of the highest sample as the microphone gave it. */
  | { type: 'level'; dbfs: number; peak?: number }
  | { type: 'speech-start' }
  | { type: 'speech-end' } // a pause began
  | { type: 'interim'; heard: Heard }
  | { type: 'final'; heard: Heard }
  | { type: 'end'; reason: EndReason; detail?: string };

export const soundVerdicts = ['fine', 'too-quiet', 'too-loud', 'too-noisy'] as const;
export type SoundVerdict = (typeof soundVerdicts)[number];

/** What the microphone gave in one turn, weighed by audio/weigh. Levels in dBFS; null: not measured. */
export interface Sound {
  verdict: SoundVerdict;
  /** Active level of the speech; null: no speech was found. */
  speech: number | null;
  /** Level of the room between words. */
  noise: number | null;
}

export interface HearRequest {
  language: string;
  module: string;
  step: string;
  /** Phrases the answer may contain; engines that can, listen for them. */
  phrases: string[];
  /** Of these, nearly everything that will be said is one: a yes or a no. */
  likely?: readonly string[];
  /** Abort to say "the speaker is done": the engine decodes what it has, yields a final and ends. */
  done: AbortSignal;
}

export type Availability = { ok: true } | { ok: false; reason: EndReason; detail?: string };

/** One recogniser behind one interface. */
export interface Hearing {
  id: EngineId;
  /** Asks what is there, without opening the microphone. */
  available(language: string): Promise<Availability>;
  /** Loads models ahead of the first turn. Resolves when `listen` would start at once. */
  prepare(language: string, signal: AbortSignal): Promise<Availability>;
  /** Never throws for a failure that has an EndReason. Aborting `signal` ends with 'aborted'. */
  listen(request: HearRequest, signal: AbortSignal): AsyncIterable<HearEvent>;
}
