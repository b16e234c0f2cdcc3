import { type DeriveTexts, derive } from '../derive';
import { inventedId, inventedWard } from '../invented';
import { missedIn, recheckOf } from '../recheck';
import { toEvents } from '../rows';
import type { VisitEvent, VisitFact, VisitStart } from '../types';

/*
 * A ward that does not exist: logs as the kiosk writes them, with invented learners and answers. How often what is
 * missed is made up; nothing may be concluded from it.
 */

export interface Invention {
  visits: number;
  /** The same seed gives the same ward. */
  seed: number;
  /** The ward has been at work for a year and a half until then. */
  now: Date;
  texts: DeriveTexts[];
  particulars: VisitStart['particulars'];
}

const days = 540;
const languages = ['en', 'en', 'en', 'en', 'es', 'fr'] as const;
const shares = { stopped: 0.05, recheck: 0.06, caregiver: 0.25 };
/** How often what was missed is missed again. */
const stillMissed = 0.3;

/** Oldest first. */
export function* inventWard({ visits, seed, now, texts, particulars }: Invention): Generator<VisitEvent[]> {
  const dice = diceOf(seed);
  const hardness = hardnessOf(texts, dice);
  const earlier: VisitEvent[][] = [];
  const times = timesOf(visits, now, dice);
  for (const [index, at] of times.entries()) {
    const visit = inventedId(index);
    const before = dice.chance(shares.recheck) ? earlier.shift() : undefined;
    const again = before && recheckStart(before, visit, texts);
    const about = again ? textsOf(again.module, texts) : dice.of(texts);
    const start = again ?? startOf(visit, index, about, particulars, dice);
    // Teaching gets a little better in time.
    const ease = 1.2 - 0.4 * (index / Math.max(1, visits - 1));
    const facts = factsOf(start, about, (concept) => Math.min(0.9, hardness.get(concept)! * ease), dice);
    const log = timed(visit, at, facts, dice);
    if (!again) earlier.push(log);
    if (earlier.length > 40) earlier.shift();
    yield log;
  }
}

type Dice = ReturnType<typeof diceOf>;

/** Mulberry32: small, seeded, good enough to make things up. */
function diceOf(seed: number) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  return {
    chance: (share: number) => next() < share,
    between: (least: number, most: number) => least + next() * (most - least),
    of: <T>(list: readonly T[]): T => list[Math.floor(next() * list.length)]!,
  };
}

/** How often each point is missed at first. Few are hard. */
function hardnessOf(texts: readonly DeriveTexts[], dice: Dice): Map<string, number> {
  const concepts = texts.flatMap(({ module }) => module.steps.flatMap(({ concepts }) => concepts));
  return new Map(concepts.map(({ id }) => [id, 0.05 + 0.6 * dice.between(0, 1) ** 2]));
}

/** On working days, from 8 to 16 h, oldest first. */
function timesOf(visits: number, now: Date, dice: Dice): number[] {
  const latest = now.getTime() - 3_600_000;
  const times: number[] = [];
  while (times.length < visits) {
    const day = new Date(
      now.getFullYear(),
      now.getMonth(),
      now.getDate() - Math.floor(dice.between(0, days)),
    );
    const at = day.setMinutes(Math.floor(dice.between(8 * 60, 16 * 60)));
    if (![0, 6].includes(day.getDay()) && at < latest) times.push(at);
  }
  return times.sort((a, b) => a - b);
}

const textsOf = (module: string, texts: readonly DeriveTexts[]) =>
  texts.find(({ module: { id } }) => id === module)!;

/** null: there is nothing to ask once more. */
function recheckStart(log: VisitEvent[], visit: string, texts: readonly DeriveTexts[]): VisitStart | null {
  const [first] = log;
  if (first?.fact.type !== 'visit-started') return null;
  const { start } = first.fact;
  const about = textsOf(start.module, texts);
  const record = derive(log, about);
  const concepts = missedIn(record).map(({ concept }) => concept);
  return concepts.length === 0
    ? null
    : recheckOf(record, about.module, { concepts, visit, bed: start.bed, staff: start.staff });
}

function startOf(
  visit: string,
  index: number,
  { module }: DeriveTexts,
  particulars: VisitStart['particulars'],
  dice: Dice,
): VisitStart {
  return {
    visit,
    practice: false,
    ward: inventedWard,
    bed: `${1 + (index % 24)}`,
    staff: 'Invented educator',
    learner: {
      role: dice.chance(shares.caregiver) ? 'caregiver' : 'patient',
      name: `Invented learner ${index + 1}`,
    },
    language: dice.of(languages),
    interpreter: false,
    prefers: dice.of(['listening', 'looking', 'doing']),
    barriers: dice.chance(0.2) ? ['sight'] : [],
    module: module.id,
    moduleVersion: module.version,
    steps: module.steps.map(({ id }) => id),
    audioOnly: dice.chance(0.1),
    particulars,
  };
}

function factsOf(
  start: VisitStart,
  { module, teaching }: DeriveTexts,
  missedAs: (concept: string) => number,
  dice: Dice,
): VisitFact[] {
  const facts: VisitFact[] = [
    { type: 'visit-started', start },
    { type: 'engine-chosen', ear: 'embedded', voice: 'embedded', why: 'invented' },
    { type: 'sound-checked', ok: true, detail: 'invented' },
  ];
  const asked = start.recheck?.points.map(({ concept }) => concept);
  for (const step of start.steps) {
    if (dice.chance(shares.stopped / start.steps.length)) {
      facts.push({ type: 'finished', how: 'stopped' });
      return facts;
    }
    const known = module.steps.find(({ id }) => id === step)!.concepts;
    let open = known.filter(({ id }) => !asked || asked.includes(id));
    facts.push({ type: 'step-started', step });
    // A re-check asks before it teaches.
    if (!start.recheck) facts.push({ type: 'explained', step, wording: 'first' });
    for (let attempt = 1; attempt <= 3 && open.length > 0; attempt++) {
      const concepts = open.map(({ id }) => id);
      if (attempt > 1) facts.push({ type: 'retaught', step, attempt, concepts });
      const findings = concepts.map((concept) =>
        invented(concept, attempt === 1 ? missedAs(concept) : stillMissed, dice),
      );
      const said = findings.filter(({ label }) => label === 'understood').map(({ concept }) => concept);
      const text = said.map((concept) => teaching.concepts[concept]?.label ?? concept).join(', and ');
      facts.push(
        { type: 'asked', step, attempt, concepts, text: teaching.steps[step]?.question ?? step },
        {
          type: 'heard',
          step,
          attempt,
          mode: 'voice',
          heard: { text: text || 'I am not sure.', confidence: 0.8, alternatives: [], engine: 'embedded' },
          confirmed: null,
        },
        { type: 'judged', step, attempt, findings },
      );
      open = open.filter(({ id, weight }) => weight !== 'helpful' && !said.includes(id));
    }
    if (open.length > 0) facts.push({ type: 'handed-over', step, concepts: open.map(({ id }) => id) });
    facts.push({ type: 'step-finished', step });
  }
  for (const point of start.recheck ? start.recheck.showMe : module.showMe)
    facts.push({ type: 'show-me', point, shown: dice.chance(0.9) });
  facts.push({ type: 'finished', how: 'completed' });
  return facts;
}

type Finding = Extract<VisitFact, { type: 'judged' }>['findings'][number];

function invented(concept: string, missed: number, dice: Dice): Finding {
  const finding = { concept, confidence: dice.between(0.7, 0.98), evidence: [], reason: 'Invented.' };
  if (!dice.chance(missed)) return { ...finding, label: 'understood' };
  const label = dice.of([
    'missed',
    'missed',
    'missed',
    'partial',
    'partial',
    'partial',
    'misconception',
  ] as const);
  return label === 'misconception' ? { ...finding, label, contradiction: 'invented' } : { ...finding, label };
}

/** An answer takes its time. */
function timed(visit: string, from: number, facts: VisitFact[], dice: Dice): VisitEvent[] {
  let at = from;
  return toEvents(visit, 0, new Date(from).toISOString(), facts).map((event) => {
    at += Math.round(dice.between(1_000, 20_000));
    return { ...event, at: new Date(event.seq === 0 ? from : at).toISOString() };
  });
}
