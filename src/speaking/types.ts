/** Which voice said it. The visit records it. */
export type VoiceId = 'clip' | 'system' | 'embedded' | 'none';

export interface SpeakRequest {
  language: string;
  /** One caption each. */
  sentences: string[];
  /** 1 is normal; "slower" gives about 0.75. */
  rate: number;
  /** 0..1 */
  volume: number;
  /** Called as each sentence begins to sound. */
  onSentence?: (index: number) => void;
}

export interface SpeakEnd {
  voice: VoiceId;
  reason: 'finished' | 'aborted' | 'failed';
  detail?: string;
  /** The browser lets the page sound only after a press: no fault of the voice. */
  blocked?: boolean;
}

/** One voice behind one interface. */
export interface Speaking {
  id: VoiceId;
  available(language: string): Promise<boolean>;
  /** Resolves when the sound has ended or `signal` aborts; never rejects. */
  speak(request: SpeakRequest, signal: AbortSignal): Promise<SpeakEnd>;
}
