import type { EngineId, Heard } from '../types';
import type { RecognitionAlternative, RecognitionResultEvent } from './api';

/**
 * Puts a turn together from result events. Android repeats finals with the index set back, or sends each
 * final again with more words at a new index; lists shrink; an event may bring nothing new.
 */
export class Transcript {
  readonly #engine: EngineId;
  /** Finals of sessions of this turn that are over. */
  #before: RecognitionAlternative[] = [];
  #finals: RecognitionAlternative[] = [];
  #others: RecognitionAlternative[][] = [];
  #interim = '';

  constructor(engine: EngineId) {
    this.#engine = engine;
  }

  take(event: RecognitionResultEvent): void {
    const finals: RecognitionAlternative[] = [];
    const others: RecognitionAlternative[][] = [];
    const interim: string[] = [];
    // The whole list each time: what an index meant before is not to be relied on.
    for (let i = 0; i < event.results.length; i++) {
      const result = event.results[i];
      const best = result?.[0];
      if (!result || !best) continue;
      const said = { transcript: tidy(best.transcript), confidence: best.confidence };
      if (said.transcript === '') continue;
      if (!result.isFinal) {
        interim.push(said.transcript);
        continue;
      }
      const last = finals.at(-1);
      if (last && said.transcript === last.transcript) continue;
      if (last && said.transcript.startsWith(`${last.transcript} `)) {
        finals.pop(); // a cumulative final takes the place of the one it begins with
        others.pop();
      }
      finals.push(said);
      others.push(alternativesOf(result));
    }
    // A list that shrank to nothing is no reason to forget what was final.
    if (words(finals) >= words(this.#finals)) {
      this.#finals = finals;
      this.#others = others;
    }
    this.#interim = interim.join(' ');
  }

  /** A session ended and another one goes on with the turn. */
  nextSession(): void {
    this.#keepInterim();
    this.#before.push(...this.#finals);
    this.#finals = [];
    this.#others = [];
  }

  /** Everything so far. Undefined when nothing was heard. */
  heard(withInterim: boolean): Heard | undefined {
    const parts = [...this.#before, ...this.#finals];
    const text = [...parts.map((part) => part.transcript), ...(withInterim ? [this.#interim] : [])]
      .filter(Boolean)
      .join(' ');
    if (text === '') return undefined;
    return {
      text,
      confidence: withInterim && this.#interim ? 0 : mean(parts),
      alternatives: this.#alternatives(),
      engine: this.#engine,
    };
  }

  /** At the end of a turn: an interim that never became final was heard all the same. */
  last(): Heard | undefined {
    this.#keepInterim();
    return this.heard(false);
  }

  #keepInterim(): void {
    if (this.#interim === '') return;
    const last = this.#finals.at(-1)?.transcript ?? '';
    // Half believed: the engine had not made up its mind.
    if (!last.endsWith(this.#interim)) this.#finals.push({ transcript: this.#interim, confidence: 0.5 });
    this.#interim = '';
  }

  /** Other readings are only worth something when there is one stretch of speech. */
  #alternatives(): Heard['alternatives'] {
    if (this.#before.length > 0 || this.#finals.length !== 1) return [];
    return (this.#others[0] ?? []).map(({ transcript, confidence }) => ({
      text: transcript,
      confidence: clamp(confidence),
    }));
  }
}

function alternativesOf(result: { length: number; [index: number]: RecognitionAlternative | undefined }) {
  const list: RecognitionAlternative[] = [];
  for (let i = 1; i < result.length; i++) {
    const one = result[i];
    if (one) list.push({ transcript: tidy(one.transcript), confidence: one.confidence });
  }
  return list;
}

function words(parts: readonly RecognitionAlternative[]): number {
  return parts.reduce((count, part) => count + part.transcript.split(' ').length, 0);
}

function tidy(text: string): string {
  return text.trim().replace(/\s+/g, ' ');
}

/** Engines that have no score send 0: then it is unknown, which is neither sure nor wrong. */
function clamp(confidence: number): number {
  return confidence > 0 && confidence <= 1 ? confidence : 0.5;
}

function mean(parts: readonly RecognitionAlternative[]): number {
  let sum = 0;
  let count = 0;
  for (const { transcript, confidence } of parts) {
    const length = transcript.split(' ').length;
    sum += length * clamp(confidence);
    count += length;
  }
  return count > 0 ? sum / count : 0;
}
