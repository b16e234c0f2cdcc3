import type { EngineId } from '../hearing/types';
import type { Finding } from '../scoring/types';
import type { VisitEvent } from './types';

/** One question and what came of it. */
export interface Turn {
  seq: number;
  at: string;
  step: string;
  attempt: number;
  /** null: the question was lost from the log. */
  asked: string | null;
  concepts: string[];
  heard: string | null;
  /** 0..1 */
  confidence: number | null;
  mode: 'voice' | 'touch' | 'typed' | null;
  engine: EngineId | null;
  confirmed: boolean | null;
  notHeard: { reason: string; detail: string }[];
  findings: Finding[];
}

/** @param log in order */
export function turnsOf(log: readonly VisitEvent[]): Turn[] {
  const turns: Turn[] = [];
  const latest = (step: string) => turns.findLast((turn) => turn.step === step);
  const open = (event: VisitEvent, step: string, attempt: number, like?: Turn): Turn => {
    const turn: Turn = {
      seq: event.seq,
      at: event.at,
      step,
      attempt,
      asked: like?.asked ?? null,
      concepts: like?.concepts ?? [],
      heard: null,
      confidence: null,
      mode: null,
      engine: null,
      confirmed: null,
      notHeard: [],
      findings: [],
    };
    turns.push(turn);
    return turn;
  };
  for (const event of log) {
    const { fact } = event;
    if (fact.type === 'asked') {
      Object.assign(open(event, fact.step, fact.attempt), { asked: fact.text, concepts: fact.concepts });
    } else if (fact.type === 'heard') {
      const before = latest(fact.step);
      const same = before?.attempt === fact.attempt ? before : undefined;
      // Heard again within a try: the first hearing was not right. Both stay on record.
      const turn = same && same.heard === null ? same : open(event, fact.step, fact.attempt, same);
      turn.heard = fact.heard.text;
      turn.confidence = fact.heard.confidence;
      turn.mode = fact.mode;
      turn.engine = fact.heard.engine;
      turn.confirmed = fact.confirmed;
    } else if (fact.type === 'not-heard') {
      latest(fact.step)?.notHeard.push({ reason: fact.reason, detail: fact.detail ?? '' });
    } else if (fact.type === 'judged') {
      const before = latest(fact.step);
      const same = before?.attempt === fact.attempt ? before : open(event, fact.step, fact.attempt);
      // The schema writes an absent value as `undefined`, the type as absent; to a reader they are one.
      same.findings = [...same.findings, ...(fact.findings as Finding[])];
    }
  }
  return turns;
}
