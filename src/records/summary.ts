import type { CommonFile, Paper, TeachingFile } from '../../phrasebanks/schema';
import { type ConceptRecord, type Outcome, outcomes, type VisitRecord } from './derive';
import { fill, oneLine } from './plain';
import { stillOpen } from './reviewed';
import { type SummaryFile, summarySchema } from './summary-schema';

/** One line of the clinician's table. */
export interface SummaryRow {
  concept: string;
  step: string;
  label: string;
  weight: ConceptRecord['weight'];
  outcome: Outcome;
  review: ConceptRecord['review'];
  answers: number;
  retaught: number;
  /** The last answer that said something about it, as heard; empty: none. */
  said: string;
  /** Why it was judged so, and how sure (0..1); null: not judged. */
  reason: string;
  confidence: number | null;
}

export interface Summary {
  language: string;
  /** For the learner: one caption each, spoken and shown. */
  sentences: string[];
  /** Labels, for the two lists of the screen. */
  well: string[];
  person: string[];
  /** For the clinician, gravest first. */
  rows: SummaryRow[];
  counts: Record<Outcome, number>;
  cautions: string[];
}

/** What the summary screen and the spoken summary hold. */
export function summarize(
  record: VisitRecord,
  { teaching, common }: { teaching: TeachingFile; common: CommonFile },
): Summary {
  const words = common.paper;
  const say = (text: string, slots: Record<string, string> = {}) =>
    // Visit slots first: what is put in afterwards came from people and is not read for slots again.
    fill(text, record.start).replace(/\{(\w+)\}/g, (slot, name: string) =>
      Object.hasOwn(slots, name) ? (slots[name] ?? '') : slot,
    );
  // In the order of teaching, which is the order the learner remembers.
  const inOrder = record.steps.flatMap((step) => step.concepts);
  const of = (...wanted: Outcome[]) => inOrder.filter(({ outcome }) => wanted.includes(outcome));
  const said = of('first-try', 'after-reteach', 'confirmed');
  const person = of('needs-person');
  const fine = record.steps.filter(
    (step) =>
      step.concepts.some((concept) => said.includes(concept)) &&
      step.concepts.every(({ outcome }) => outcome !== 'needs-person' && outcome !== 'not-asked'),
  );
  const notReached = record.steps.filter(
    (step) => step.concepts.length > 0 && step.concepts.every(({ outcome }) => outcome === 'not-asked'),
  );
  const open = record.questions.filter(stillOpen).length;

  const sentences = [say(record.state === 'stopped' ? words.stopped : words.thanks)];
  if (said.length > 0) {
    // A helpful extra that was not said is no shortfall to a learner.
    const slots = { n: String(said.length), all: String(said.length + person.length) };
    const [all, some] = byCards(record) ? [words.allShown, words.someShown] : [words.allSaid, words.someSaid];
    sentences.push(say(person.length === 0 ? all : some, slots));
  }
  if (fine.length > 0) sentences.push(say(words.well, { list: listed(fine.map(({ title }) => title)) }));
  if (person.length > 0) {
    // Heard, not read: a long list of points goes by, a few names of steps stay. The screen has them all.
    const names =
      person.length > 4
        ? record.steps.filter(({ concepts }) => concepts.some((each) => person.includes(each)))
        : null;
    const list = listed(names?.map(({ title }) => title) ?? person.map(({ label }) => label));
    sentences.push(say(words.person, { list }), say(words.onUs));
  }
  if (notReached.length > 0 && record.state !== 'open') {
    sentences.push(say(words.notReached, { list: listed(notReached.map(({ title }) => title)) }));
  }
  if (open > 0)
    sentences.push(say(open === 1 ? words.questionKept : words.questionsKept, { n: String(open) }));
  sentences.push(say(words.whenToCall), say(words.emergency));

  return {
    language: teaching.language,
    sentences,
    well: said.map(({ label }) => label),
    person: person.map(({ label }) => label),
    rows: record.concepts.map((concept) => rowOf(concept, record)),
    counts: countsOf(record),
    cautions: words.cautions.map((caution) => say(caution)),
  };
}

/** Were all answers given by touching cards? */
const byCards = ({ turns }: VisitRecord): boolean => {
  const modes = new Set(turns.flatMap(({ mode }) => mode ?? []));
  return modes.size === 1 && modes.has('touch');
};

// Labels hold commas of their own.
function listed(labels: string[]): string {
  return labels.map((label) => oneLine(label).replace(/[.!]$/, '')).join('; ');
}

function rowOf(concept: ConceptRecord, record: VisitRecord): SummaryRow {
  const last = concept.answers.at(-1);
  return {
    concept: concept.concept,
    step: record.steps.find(({ step }) => step === concept.step)?.title ?? concept.step,
    label: concept.label,
    weight: concept.weight,
    outcome: concept.outcome,
    review: concept.review,
    answers: concept.answers.length,
    retaught: concept.retaught,
    said: oneLine(last?.heard ?? ''),
    reason: last?.finding.reason ?? (concept.asked > 0 ? 'Asked, but no answer was judged.' : 'Not asked.'),
    confidence: last?.finding.confidence ?? null,
  };
}

function countsOf(record: VisitRecord): Record<Outcome, number> {
  const counts = Object.fromEntries(outcomes.map((outcome) => [outcome, 0])) as Record<Outcome, number>;
  for (const { outcome } of record.concepts) counts[outcome] += 1;
  return counts;
}

/** The visit as a file; see summarySchema. Throws when the record breaks its own format. */
export function toJson(record: VisitRecord, words: Pick<Paper, 'cautions'>): SummaryFile {
  const { signed, changedSince } = record.signOff;
  return summarySchema.parse({
    format: 'ownwords-summary/2',
    unreviewed: signed === null || changedSince,
    signed,
    changedSince,
    practice: record.start?.practice ?? false,
    visit: record.visit,
    state: record.state,
    startedAt: record.startedAt,
    endedAt: record.endedAt,
    minutes: record.minutes,
    pausedMinutes: record.pausedMinutes,
    start: record.start,
    counts: countsOf(record),
    concepts: record.concepts.map(({ answers, asked: _asked, ...concept }) => ({
      ...concept,
      answers: answers.length,
      words: answers.at(-1)?.words ?? [],
    })),
    turns: record.turns.map(({ seq: _seq, ...turn }) => turn),
    questions: record.questions.map(({ seq: _seq, ...question }) => question),
    helpCalls: record.helpCalls,
    showMe: record.showMe,
    cloud: record.cloud,
    ears: record.ears,
    voices: record.voices,
    troubles: record.troubles,
    missing: record.missing,
    cautions: words.cautions.map((caution) => fill(caution, record.start)),
  });
}
