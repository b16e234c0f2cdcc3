import { narrowed } from '../../phrasebanks/narrow';
import type { ModuleFile, TeachingFile, weights } from '../../phrasebanks/schema';
import type { EngineId } from '../hearing/types';
import type { Finding } from '../scoring/types';
import { minutesBetween, pausedMinutes } from './minutes';
import { fill } from './plain';
import {
  type Decision,
  decisionsOf,
  everDecidedOpen,
  type Question,
  questionsOf,
  type Signed,
  type SignOff,
  signOffOf,
} from './reviewed';
import { type Turn, turnsOf } from './turns';
import type { VisitEvent, VisitFact, VisitStart } from './types';

/*
 * The visit log as one record. Pure: the same log and texts give the same record, at any point of the visit.
 */

export type Weight = (typeof weights)[number];

/** Stored digests of a ward know them by their place: add only at the end. */
export const outcomes = [
  'first-try', // said back at the first question
  'after-reteach', // said back later
  'needs-person', // a person goes over it: handed over, unsure, contradicted, not said though it matters, or decided so
  'not-said', // a helpful extra that was not said; never taught again for its own sake
  'not-asked', // not reached
  'confirmed', // a clinician decided after the visit that it is understood
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
  /** The clinician's, where one has decided. */
  outcome: Outcome;
  /** What the visit itself came to. */
  judged: Exclude<Outcome, 'confirmed'>;
  /** null: nobody decided otherwise. */
  decision: Decision | null;
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
  questions: Question[];
  helpCalls: { at: string; by: 'learner' | 'distress' | 'staff'; text: string }[];
  /** Every point of the module; null: not watched. The last tick counts. `later`: ticked after the visit. */
  showMe: { point: string; text: string; shown: boolean | null; later: Signed | null }[];
  signOff: SignOff;
  /** Something was left for a person when the visit ended or since, also where it is settled by now. */
  wasOpen: boolean;
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
  const concepts = gravestFirst(steps.flatMap((step) => step.concepts));
  const questions = questionsOf(log);
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
    concepts,
    turns,
    questions,
    helpCalls: log.flatMap(({ at, fact }) =>
      fact.type === 'help-called' ? { at, by: fact.by, text: fact.text } : [],
    ),
    showMe: showMeOf(log, start, texts),
    signOff: signOffOf(log),
    wasOpen:
      concepts.some(({ judged }) => judged === 'needs-person' || judged === 'not-asked') ||
      questions.some(({ answer }) => answer === null) ||
      everDecidedOpen(log),
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

function stepsOf(
  log: readonly VisitEvent[],
  turns: readonly Turn[],
  start: VisitStart | null,
  texts: DeriveTexts,
): StepRecord[] {
  const { module, teaching } = texts;
  const decided = decisionsOf(log);
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
          decision: decided.get(concept) ?? null,
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
  about: { label: string; weight: Weight; unsureBelow: number; decision: Decision | null },
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

  let judged: ConceptRecord['judged'];
  // What was handed over stays with the person, whatever is said later: only a person can close it (a decision does).
  if (handedOver || final?.label === 'misconception') judged = 'needs-person';
  else if (sure(final)) judged = firstSure === 0 && retaught === 0 ? 'first-try' : 'after-reteach';
  else if (final?.label === 'understood') judged = 'needs-person';
  else if (asked === 0 && !final) judged = 'not-asked';
  else judged = about.weight === 'helpful' ? 'not-said' : 'needs-person';

  const { decision } = about;
  const outcome = !decision ? judged : decision.decision === 'understood' ? 'confirmed' : 'needs-person';

  const review = new Set<ReviewReason>();
  if (misconceptions.length > 0) review.add('misconception');
  // Once missed, a critical concept is shown to the clinician even if it was said later.
  if (about.weight === 'critical' && (judged === 'needs-person' || first?.label === 'missed')) {
    review.add('critical-miss');
  }
  if (handedOver) review.add('handed-over');
  if (final?.label === 'understood' && !sure(final)) review.add('unsure');
  if (judged === 'needs-person' && review.size === 0) review.add('not-said');
  return {
    concept,
    step,
    label: about.label,
    weight: about.weight,
    outcome,
    judged,
    decision,
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

const ranks = {
  'needs-person': 2,
  'not-asked': 5,
  'not-said': 6,
  'after-reteach': 7,
  confirmed: 7,
  'first-try': 8,
};

function gravestFirst(concepts: ConceptRecord[]): ConceptRecord[] {
  const needs = (record: ConceptRecord) => record.outcome === 'needs-person';
  const rank = (record: ConceptRecord): number => {
    if (needs(record) && record.misconceptions.length > 0) return 0;
    if (needs(record) && record.weight === 'critical') return 1;
    if (needs(record)) return 2;
    if (record.outcome === 'confirmed') return ranks.confirmed;
    if (record.misconceptions.length > 0) return 3;
    if (record.review.includes('critical-miss')) return 4;
    return ranks[record.outcome];
  };
  return concepts
    .map((record, index) => ({ record, index }))
    .sort((a, b) => rank(a.record) - rank(b.record) || a.index - b.index)
    .map(({ record }) => record);
}

function showMeOf(log: readonly VisitEvent[], start: VisitStart | null, { module, teaching }: DeriveTexts) {
  const ticks = log.flatMap(({ at, fact }) => (fact.type === 'show-me' ? [{ at, ...fact }] : []));
  return unique([...module.showMe, ...ticks.map(({ point }) => point)]).map((point) => {
    const last = ticks.findLast((tick) => tick.point === point);
    return {
      point,
      text: fill(entry(teaching.showMe, point) ?? point, start),
      shown: last?.shown ?? null,
      later: last?.by ? { at: last.at, by: last.by } : null,
    };
  });
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
