import type {
  Recognition,
  RecognitionConstructor,
  RecognitionResult,
  RecognitionScope,
} from '../../../src/hearing/browser/api';

export interface Said {
  text: string;
  final?: boolean;
  confidence?: number;
  others?: string[];
}

/** A SpeechRecognition that a test plays. Chromium's ways were measured on version 156. */
export class FakeRecognition extends EventTarget implements Recognition {
  lang = '';
  continuous = false;
  interimResults = false;
  maxAlternatives = 1;
  started = 0;
  stopped = 0;
  aborted = 0;
  #phrases: unknown[] = [];

  get processLocally(): boolean {
    return this.local;
  }
  set processLocally(value: boolean) {
    this.local = value;
  }
  local = false;
  get phrases(): unknown[] {
    return this.#phrases;
  }
  set phrases(value: unknown[]) {
    this.#phrases = value;
  }

  start(): void {
    this.started++;
  }
  stop(): void {
    this.stopped++;
  }
  abort(): void {
    this.aborted++;
  }

  emit(type: string, more: Record<string, unknown> = {}): void {
    this.dispatchEvent(Object.assign(new Event(type), more));
  }

  /** The whole list of results as it stands now. */
  says(list: Said[], resultIndex = 0): void {
    const results: { length: number; [index: number]: RecognitionResult } = { length: list.length };
    list.forEach(({ text, final = false, confidence = 0.9, others = [] }, i) => {
      const result: RecognitionResult = { isFinal: final, length: 1 + others.length };
      result[0] = { transcript: text, confidence };
      others.forEach((other, k) => {
        result[k + 1] = { transcript: other, confidence: confidence / 2 };
      });
      results[i] = result;
    });
    this.emit('result', { resultIndex, results });
  }
}

export class FakePhrase {
  constructor(
    readonly phrase: string,
    readonly boost: number,
  ) {
    if (boost < 0 || boost > 10) throw new SyntaxError('boost out of range');
  }
}

/** A window with the API. `available`: what it answers; 'throws', 'never' for builds that misbehave. */
export function fakeScope(available = 'available') {
  const sessions: FakeRecognition[] = [];
  class Constructor extends FakeRecognition {
    constructor() {
      super();
      sessions.push(this);
    }
    static asked: unknown[] = [];
    static installs: 'well' | 'badly' | 'never' | 'throws' = 'well';
    static async available(options: unknown): Promise<string> {
      Constructor.asked.push(options);
      if (available === 'throws') throw new TypeError('no');
      if (available === 'never') return new Promise(() => {});
      return available;
    }
    static async install(): Promise<boolean> {
      if (Constructor.installs === 'never') return new Promise(() => {});
      if (Constructor.installs === 'throws') throw new Error('no press');
      return Constructor.installs === 'well';
    }
  }
  const scope: RecognitionScope = {
    SpeechRecognition: Constructor as unknown as RecognitionConstructor,
    SpeechRecognitionPhrase: FakePhrase,
  };
  return { scope, sessions, Constructor };
}
