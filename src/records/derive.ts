import { narrowed } from '../../phrasebanks/narrow';
import type { ModuleFile, TeachingFile, weights } from '../../phrasebanks/schema';
import type { EngineId } from '../hearing/types';
import type { Finding } from '../scoring/types';
import { minutesBetween, pausedMinutes } from './minutes';
import { fill } from './plain';
import type { VisitEvent, VisitFact, VisitStart } from './types';

/*
 * The visit log as one record. Pure: the same log and texts give the same record, at any point of the visit.
 */

export type Weight = (typeof weights)[number];

export const outcomes = [
  'first-try', // said back at the first question
  'after-reteach', // said back later
  'needs-person', // a person goes over it: handed over, unsure, contradicted, or not said though it matters
  'not-said', // a helpful extra that was not said; never taught again for its own sake
  'not-asked', // not reached
] as const;
export type Outcome = (typeof outcomes)[number];

/** Why a clinician should look, gravest first. */
export const reviewReasons = ['misconception', 'critical-miss', 'handed-over', 'unsure', 'not-said'] as const;
export type ReviewReason = (typeof reviewReasons)[number];

/** What one answer said about one concept. */
export interface ConceptAnswer {
  /** Event number of the judgement. */
  seq: number;
  attempt: number;
  mode: 'voice' | 'touch' | 'typed' | null;
  engine: EngineId | null;
  /** The answer as heard; empty when the log lost it. */
  heard: string;
  finding: Finding;
  /** The words of the answer that decided it. */
  words: string[];
}

export interface ConceptRecord {
  concept: string;
  step: string;
  label: string;
  /** A concept that the module does not know counts as critical. */
  weight: Weight;
  outcome: Outcome;
  asked: number;
  answers: ConceptAnswer[];
  first: Finding | null;
  final: Finding | null;
  /** Answers needed until it was understood; null: not yet. */
  triesUntilUnderstood: number | null;
  retaught: number;
  handedOver: boolean;
  /** Contradictions that were said at any time, put right or not. */
  misconceptions: string[];
  review: ReviewReason[];
}

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

export interface StepRecord {
  step: string;
  title: string;
  state: 'not-started' | 'started' | 'finished';
  explained: ('first' | 'repeat' | 'simplest')[];
  concepts: ConceptRecord[];
}

export interface VisitRecord {
  visit: string | null;
  /** null: the first event is missing or unreadable. */
  start: VisitStart | null;
  /** The patient's number in the hospital's records; null: none was entered. The last one counts. */
  recordNumber: string | null;
  /** What staff said of patients whom the record server found by a number. */
  patientChecks: { at: string; number: string; patient: string; yes: boolean }[];
  state: 'open' | 'completed' | 'stopped';
  startedAt: string | null;
  /** Time of the last event, of the end when finished. */
  endedAt: string | null;
  /** Whole minutes from start to end. */
  minutes: number;
  /** Whole minutes of it between a pause and its end. */
  pausedMinutes: number;
  steps: StepRecord[];
  /** Every concept of every step, gravest first: misconceptions, critical misses, then the rest in order. */
  concepts: ConceptRecord[];
  turns: Turn[];
  questions: { at: string; text: string; answer: string | null }[];
  helpCalls: { at: string; by: 'learner' | 'distress' | 'staff'; text: string }[];
  /** Every point of the module; null: not watched. The last tick counts. */
  showMe: { point: string; text: string; shown: boolean | null }[];
  /** Whether the learner let the voice leave the device, to which engine; null: never asked. The last answer counts. */
  cloud: { at: string; engine: EngineId; agreed: boolean } | null;
  ears: EngineId[];
  voices: string[];
  troubles: { at: string; step: string | null; what: string }[];
  /** Numbers of events that are missing from the log. */
  missing: number[];
}

export interface DeriveTexts {
  module: ModuleFile;
  teaching: TeachingFile;
  /** In place of `unsureBelow`. */
  unsureBelow?: number;
}

/** A finding `understood` less sure than this is for a person: as likely not understood. */
export const unsureBelow = 0.5;

type FactOf<T extends VisitFact['type']> = Extract<VisitFact, { type: T }>;

/** Events in any order, of one visit, finished or not; see VisitRecord. Never throws for a valid log. */
export function derive(events: readonly VisitEvent[], whole: DeriveTexts): VisitRecord {
  const log = [...events].sort((a, b) => a.seq - b.seq);
  const start = factsOf(log, 'visit-started')[0]?.start ?? null;
  const texts = { ...whole, module: narrowed(whole.module, start?.recheck) };
  const turns = turnsOf(log);
  const steps = stepsOf(log, turns, start, texts);
  const finished = factsOf(log, 'finished').at(-1);
  const startedAt = log[0]?.at ?? null;
  const endedAt = (finished ? log.findLast(({ fact }) => fact.type === 'finished') : log.at(-1))?.at ?? null;
  return {
    visit: log[0]?.visit ?? null,
    start,
    recordNumber: factsOf(log, 'record-number').at(-1)?.number ?? start?.recordNumber ?? null,
    patientChecks: log.flatMap(({ at, fact }) =>
      fact.type === 'patient-checked'
        ? { at, number: fact.number, patient: fact.patient, yes: fact.yes }
        : [],
    ),
    state: finished?.how ?? 'open',
    startedAt,
    endedAt,
    minutes: startedAt && endedAt ? minutesBetween(startedAt, endedAt) : 0,
    pausedMinutes: pausedMinutes(log),
    steps,
    concepts: gravestFirst(steps.flatMap((step) => step.concepts)),
    turns,
    questions: log.flatMap(({ at, fact }) =>
      fact.type === 'question' ? { at, text: fact.text, answer: fact.answer } : [],
    ),
    helpCalls: log.flatMap(({ at, fact }) =>
      fact.type === 'help-called' ? { at, by: fact.by, text: fact.text } : [],
    ),
    showMe: showMeOf(log, start, texts),
    cloud:
      log
        .flatMap(({ at, fact }) =>
          fact.type === 'cloud-asked' ? { at, engine: fact.engine, agreed: fact.agreed } : [],
        )
        .at(-1) ?? null,
    ears: unique([
      ...factsOf(log, 'engine-chosen').map(({ ear }) => ear),
      ...factsOf(log, 'heard').map(({ heard }) => heard.engine),
    ]),
    voices: unique(factsOf(log, 'engine-chosen').map(({ voice }) => voice)),
    troubles: troublesOf(log, start, texts),
    missing: missingOf(log),
  };
}

function factsOf<T extends VisitFact['type']>(log: readonly VisitEvent[], type: T): FactOf<T>[] {
  return log.flatMap(({ fact }) => (fact.type === type ? [fact as FactOf<T>] : []));
}

function unique<T>(values: readonly T[]): T[] {
  return [...new Set(values)];
}

function missingOf(log: readonly VisitEvent[]): number[] {
  const there = new Set(log.map(({ seq }) => seq));
  const last = log.at(-1)?.seq ?? -1;
  const missing: number[] = [];
  for (let seq = 0; seq < last; seq += 1) if (!there.has(seq)) missing.push(seq);
  return missing;
}

function turnsOf(log: readonly VisitEvent[]): Turn[] {
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

function stepsOf(
  log: readonly VisitEvent[],
  turns: readonly Turn[],
  start: VisitStart | null,
  texts: DeriveTexts,
): StepRecord[] {
  const { module, teaching } = texts;
  const named = log.flatMap(({ fact }) => ('step' in fact ? [fact.step] : []));
  const planned = start?.steps ?? module.steps.map((step) => step.id);
  return unique([...planned, ...named]).map((step) => {
    const facts = log.filter(({ fact }) => 'step' in fact && fact.step === step);
    const own = turns.filter((turn) => turn.step === step);
    const known = module.steps.find(({ id }) => id === step)?.concepts ?? [];
    const concepts = unique([
      ...known.map(({ id }) => id),
      ...own.flatMap((turn) => [...turn.concepts, ...turn.findings.map(({ concept }) => concept)]),
      ...facts.flatMap(({ fact }) =>
        fact.type === 'handed-over' || fact.type === 'retaught' ? fact.concepts : [],
      ),
    ]);
    return {
      step,
      title: fill(entry(teaching.steps, step)?.title ?? step, start),
      state: stateOf(facts),
      explained: factsOf(facts, 'explained').map(({ wording }) => wording),
      concepts: concepts.map((concept) =>
        conceptOf(concept, step, facts, own, {
          label: fill(entry(teaching.concepts, concept)?.label ?? concept, start),
          weight: known.find(({ id }) => id === concept)?.weight ?? 'critical',
          unsureBelow: texts.unsureBelow ?? unsureBelow,
        }),
      ),
    };
  });
}

/** A name from the log must not find what every object inherits. */
function entry<T>(of: Record<string, T>, key: string): T | undefined {
  return Object.hasOwn(of, key) ? of[key] : undefined;
}

function stateOf(facts: readonly VisitEvent[]): StepRecord['state'] {
  const last = facts.findLast(({ fact }) => fact.type === 'step-started' || fact.type === 'step-finished');
  if (last?.fact.type === 'step-finished') return 'finished';
  return facts.length > 0 ? 'started' : 'not-started';
}

function conceptOf(
  concept: string,
  step: string,
  facts: readonly VisitEvent[],
  turns: readonly Turn[],
  about: { label: string; weight: Weight; unsureBelow: number },
): ConceptRecord {
  const answers: ConceptAnswer[] = turns.flatMap((turn) =>
    turn.findings
      .filter((finding) => finding.concept === concept && counts(finding, turn))
      .map((finding) => ({
        seq: turn.seq,
        attempt: turn.attempt,
        mode: turn.mode,
        engine: turn.engine,
        heard: turn.heard ?? '',
        finding,
        words: finding.evidence.map(({ start, end }) => (turn.heard ?? '').slice(start, end)),
      })),
  );
  const asked = turns.filter((turn) => turn.concepts.includes(concept)).length;
  const final = answers.at(-1)?.finding ?? null;
  const first = answers[0]?.finding ?? null;
  const sure = (finding: Finding | null) =>
    finding?.label === 'understood' && finding.confidence >= about.unsureBelow;
  const firstSure = answers.findIndex(({ finding }) => sure(finding));
  const handedOver = factsOf(facts, 'handed-over').some((fact) => fact.concepts.includes(concept));
  const retaught = factsOf(facts, 'retaught').filter((fact) => fact.concepts.includes(concept)).length;
  const misconceptions = unique(
    answers.flatMap(({ finding }) =>
      finding.label === 'misconception' ? [finding.contradiction ?? 'unnamed'] : [],
    ),
  );

  let outcome: Outcome;
  // What was handed over stays with the person, whatever is said later: only a person can close it.
  if (handedOver || final?.label === 'misconception') outcome = 'needs-person';
  else if (sure(final)) outcome = firstSure === 0 && retaught === 0 ? 'first-try' : 'after-reteach';
  else if (final?.label === 'understood') outcome = 'needs-person';
  else if (asked === 0 && !final) outcome = 'not-asked';
  else outcome = about.weight === 'helpful' ? 'not-said' : 'needs-person';

  const review = new Set<ReviewReason>();
  if (misconceptions.length > 0) review.add('misconception');
  // Once missed, a critical concept is shown to the clinician even if it was said later.
  if (about.weight === 'critical' && (outcome === 'needs-person' || first?.label === 'missed')) {
    review.add('critical-miss');
  }
  if (handedOver) review.add('handed-over');
  if (final?.label === 'understood' && !sure(final)) review.add('unsure');
  if (outcome === 'needs-person' && review.size === 0) review.add('not-said');
  return {
    concept,
    step,
    label: about.label,
    weight: about.weight,
    outcome,
    asked,
    answers,
    first,
    final,
    triesUntilUnderstood: sure(final) ? firstSure + 1 : null,
    retaught,
    handedOver,
    misconceptions,
    review: reviewReasons.filter((reason) => review.has(reason)),
  };
}

/** Silence about what was not asked is no evidence; a right or a contrary word about it is. */
function counts(finding: Finding, turn: Turn): boolean {
  if (turn.concepts.length === 0 || turn.concepts.includes(finding.concept)) return true;
  return finding.label === 'understood' || finding.label === 'misconception';
}

function gravestFirst(concepts: ConceptRecord[]): ConceptRecord[] {
  const needs = (record: ConceptRecord) => record.outcome === 'needs-person';
  const rank = (record: ConceptRecord): number => {
    if (needs(record) && record.misconceptions.length > 0) return 0;
    if (needs(record) && record.weight === 'critical') return 1;
    if (needs(record)) return 2;
    if (record.misconceptions.length > 0) return 3;
    if (record.review.includes('critical-miss')) return 4;
    return { 'needs-person': 2, 'not-asked': 5, 'not-said': 6, 'after-reteach': 7, 'first-try': 8 }[
      record.outcome
    ];
  };
  return concepts
    .map((record, index) => ({ record, index }))
    .sort((a, b) => rank(a.record) - rank(b.record) || a.index - b.index)
    .map(({ record }) => record);
}

function showMeOf(log: readonly VisitEvent[], start: VisitStart | null, { module, teaching }: DeriveTexts) {
  const ticks = factsOf(log, 'show-me');
  return unique([...module.showMe, ...ticks.map(({ point }) => point)]).map((point) => ({
    point,
    text: fill(entry(teaching.showMe, point) ?? point, start),
    shown: ticks.findLast((tick) => tick.point === point)?.shown ?? null,
  }));
}

function troublesOf(log: readonly VisitEvent[], start: VisitStart | null, { module }: DeriveTexts) {
  const troubles: VisitRecord['troubles'] = [];
  let ear: EngineId | null = null;
  for (const { at, fact } of log) {
    if (fact.type === 'not-heard') {
      const detail = fact.detail ? ` (${fact.detail})` : '';
      troubles.push({ at, step: fact.step, what: `Not heard: ${fact.reason}${detail}` });
    } else if (fact.type === 'sound-checked' && !fact.ok) {
      troubles.push({ at, step: null, what: `Sound check failed: ${fact.detail}` });
    } else if (fact.type === 'engine-chosen') {
      if (ear && ear !== fact.ear) {
        troubles.push({ at, step: null, what: `Listening changed from ${ear} to ${fact.ear}: ${fact.why}` });
      }
      ear = fact.ear;
    }
  }
  if (start && log[0] && (start.module !== module.id || start.moduleVersion !== module.version)) {
    const what = `Taught from ${start.module} ${start.moduleVersion}; shown with the texts of ${module.id} ${module.version}`;
    troubles.push({ at: log[0].at, step: null, what });
  }
  return troubles;
}
