/*
 * The part of the Web Speech API that is used. Draft of the W3C Audio Working Group, "Web Speech API"
 * (2026-05-08). Written out because TypeScript's DOM library has none of it.
 */

export interface RecognitionAlternative {
  transcript: string;
  confidence: number;
}

export interface RecognitionResult {
  isFinal: boolean;
  length: number;
  [index: number]: RecognitionAlternative | undefined;
}

export interface RecognitionResultEvent extends Event {
  resultIndex: number;
  results: { length: number; [index: number]: RecognitionResult | undefined };
}

export interface RecognitionErrorEvent extends Event {
  error: string;
  message?: string;
}

export interface Recognition extends EventTarget {
  lang: string;
  continuous: boolean;
  interimResults: boolean;
  maxAlternatives: number;
  processLocally?: boolean;
  phrases?: unknown;
  start(track?: MediaStreamTrack): void;
  stop(): void;
  abort(): void;
}

export interface RecognitionOptions {
  langs: string[];
  processLocally: boolean;
}

export interface RecognitionConstructor {
  new (): Recognition;
  available?(options: RecognitionOptions): Promise<string>;
  install?(options: RecognitionOptions): Promise<boolean>;
}

export type PhraseConstructor = new (phrase: string, boost: number) => unknown;

/** Where the API hangs. */
export interface RecognitionScope {
  SpeechRecognition?: RecognitionConstructor;
  webkitSpeechRecognition?: RecognitionConstructor;
  SpeechRecognitionPhrase?: PhraseConstructor;
}
