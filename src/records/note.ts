import type { TeachingFile } from '../../phrasebanks/schema';
import type { ConceptRecord, StepRecord, VisitRecord } from './derive';
import { cloudAnswer, earNames, named } from './engines';
import { isMadeUp } from './invented';
import { outcomeNames } from './outcome-names';
import { fill, oneLine } from './plain';
import { recheckAfter, thenAndNow } from './recheck';
import { stillOpen } from './reviewed';
import { courseOf, quoted, taughtAgain } from './said';
import type { VisitStart } from './types';

/*
 * The chart note: plain text, one fact a line, to be pasted as it is. What it holds follows the trade's rule to
 * document the use of teach-back and the learner's response to it (ten elements of teach-back,
 * teachbacktraining.org), with the learner's needs, barriers and preferences as is common practice.
 */

export interface NoteOptions {
  /** IANA name; the device's own by default. */
  timeZone?: string;
}

/** The texts, and so `record`, in the language of the chart. Lines end in "\n". */
export function chartNote(record: VisitRecord, teaching: TeachingFile, options: NoteOptions = {}): string {
  const zone = options.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  const sections = [
    head(record, zone),
    section('LEARNER AND NEEDS', learner(record)),
    section('TAUGHT', taught(record, teaching)),
    section('RE-CHECK: THEN AND NOW', rechecked(record)),
    section('NEEDS A PERSON', needsPerson(record)),
    section('PUT RIGHT DURING THE VISIT', putRight(record)),
    section('DECIDED BY A CLINICIAN AFTER THE VISIT', decided(record, zone)),
    section('RESPONSE TO TEACHING', record.steps.flatMap(response)),
    section("THE LEARNER'S ANSWERS, WHERE SOMETHING WAS MISSED", wordsOf(record)),
    section('RETURN DEMONSTRATION, WATCHED BY A CLINICIAN', showMe(record)),
    section('QUESTIONS OF THE LEARNER', questions(record, zone)),
    section('CALLS FOR HELP', helpCalls(record, zone)),
    section(record.signOff.signed ? 'PLAN' : 'PLAN (SUGGESTED; A CLINICIAN DECIDES)', plan(record)),
    section('ABOUT THIS RECORD', about(record, teaching, zone)),
    signature(record, zone),
  ];
  return `${sections.filter((part) => part !== '').join('\n\n')}\n`;
}

function section(title: string, lines: string[]): string {
  return lines.length === 0 ? '' : [title, ...lines.map((line) => `- ${oneLine(line)}`)].join('\n');
}

interface Formats {
  time: Intl.DateTimeFormat;
  zone: Intl.DateTimeFormat;
}
/** By zone. Dear to make, and a note has many times in it. */
const formats = new Map<string, Formats>();

function formatsOf(timeZone: string): Formats {
  const made = formats.get(timeZone) ?? {
    time: new Intl.DateTimeFormat('sv-SE', { dateStyle: 'short', timeStyle: 'short', timeZone }),
    zone: new Intl.DateTimeFormat('en-US', { timeZone, timeZoneName: 'short' }),
  };
  formats.set(timeZone, made);
  return made;
}

/** 2026-03-02 14:05, in the zone; the same in every locale. */
const time = (at: string, timeZone: string): string => formatsOf(timeZone).time.format(new Date(at));

/** The hour alone when the day is the same. */
function endOf(from: string, to: string, zone: string): string {
  const [startDay] = time(from, zone).split(' ');
  const [day, hour] = time(to, zone).split(' ');
  return day === startDay ? `${hour}` : `${day} ${hour}`;
}

/** What the hour is called there: "CST". */
const zoneName = (at: string, timeZone: string): string =>
  formatsOf(timeZone)
    .zone.formatToParts(new Date(at))
    .find(({ type }) => type === 'timeZoneName')?.value ?? timeZone;

const stamp = (at: string, zone: string) => `${time(at, zone)} ${zoneName(at, zone)}`;

const states = {
  completed: 'completed',
  stopped: 'stopped before the end',
  open: 'not finished',
} as const;

function head(record: VisitRecord, zone: string): string {
  const { start, startedAt, endedAt } = record;
  const paused = record.pausedMinutes > 0 ? `, ${record.pausedMinutes} of them paused` : '';
  const when =
    startedAt && endedAt
      ? `${time(startedAt, zone)} to ${endOf(startedAt, endedAt, zone)} ${zoneName(endedAt, zone)}, ${record.minutes} minutes${paused}; ${states[record.state]}`
      : 'not known';
  return [
    'PATIENT EDUCATION NOTE: TEACH-BACK',
    ...reviewed(record),
    ...(start && isMadeUp(start)
      ? ['PRACTICE VISIT: the learner is invented. Do not file this in a chart.']
      : []),
    ...(record.state === 'open' ? ['The visit is not finished; this note is a draft.'] : []),
    ...(start?.recheck
      ? [`Re-check of the visit that ended ${stamp(start.recheck.at, zone)} (${start.recheck.of})`]
      : []),
    ...(start?.sitting ? [`Lesson ${start.sitting.index + 1} of several in one sitting`] : []),
    `Time: ${when}`,
    `Place: ${start ? oneLine(`${start.ward}, bed ${start.bed}`) : 'not known'}`,
    `Started by: ${start ? oneLine(start.staff) : 'not known'}`,
  ].join('\n');
}

/** At the top, for whoever reads no further. */
function reviewed({ signOff: { signed, changedSince } }: VisitRecord): string[] {
  if (!signed) return ['NOT REVIEWED: no clinician has signed this.'];
  return changedSince ? ['CHANGED SINCE IT WAS SIGNED: see the end.'] : [];
}

function signature({ signOff: { signed, changedSince } }: VisitRecord, zone: string): string {
  if (!signed) return 'Not reviewed or signed yet.';
  const whom = `${oneLine(signed.by.name)}, ${stamp(signed.at, zone)}`;
  return changedSince
    ? `Changed since it was signed by ${whom}. Not signed as it stands.`
    : `Reviewed and signed by ${whom}`;
}

function learner({ start, recordNumber }: VisitRecord): string[] {
  if (!start) return ['Not known: the start of the visit is missing from the log.'];
  const { role, name, relation } = start.learner;
  const who = role === 'patient' ? 'patient' : `caregiver${relation ? `, ${relation}` : ''}`;
  return [
    `Learner: ${name} (${who})`,
    ...(recordNumber ? [`Record number of the patient: ${recordNumber}`] : []),
    `Language: ${languageName(start.language)}; interpreter: ${start.interpreter ? 'yes' : 'no'}`,
    `Prefers to learn by: ${start.prefers}${start.audioOnly ? '; went through the visit by ear only' : ''}`,
    ...access(start),
    ...(start.readiness ? [`Readiness to learn, as entered: ${readinessNames[start.readiness]}`] : []),
    `Barriers to learning: ${start.barriers.length > 0 ? start.barriers.join(', ') : 'none entered'}`,
  ];
}

/** In English, as the note is; the code itself where it is none. */
function languageName(language: string): string {
  try {
    return new Intl.DisplayNames('en', { type: 'language' }).of(language) ?? language;
  } catch {
    return language;
  }
}

/** For staff. */
export const readinessNames: Record<NonNullable<VisitStart['readiness']>, string> = {
  eager: 'eager, asks to be taught',
  willing: 'willing',
  hesitant: 'hesitant',
  'not-now': 'does not want to be taught now',
};

/** How the learner works the screen, where that is not by voice and finger. */
function access({ answers, switches }: VisitStart): string[] {
  const ways = [
    ...(answers === 'touch' ? ['Answers by touch or typing, not by voice'] : []),
    ...(switches ? [`Works the screen with ${switches.keys === 'one' ? 'one switch' : 'two switches'}`] : []),
  ];
  return ways.length > 0 ? [ways.join('; ')] : [];
}

function taught(record: VisitRecord, teaching: TeachingFile): string[] {
  const { start, steps } = record;
  const reached = steps.filter(({ state }) => state !== 'not-started').map(({ title }) => title);
  const own = start?.particulars;
  return [
    `${fill(teaching.title, start)}: ${reached.length > 0 ? reached.join('; ') : 'nothing'}`,
    ...(own
      ? [
          `Entered for this learner: medicine "${own.medicine}", times a day "${own.timesADay}", number to call ${own.callNumber}`,
        ]
      : []),
    ...method(record),
  ];
}

/** How many answers came in which way, and what that is worth. */
function method({ start, turns, ears }: VisitRecord): string[] {
  const count = (mode: string) => turns.filter((turn) => turn.mode === mode).length;
  const heardBy = named(
    ears.filter((ear) => ear !== 'touch' && ear !== 'typed'),
    earNames,
  );
  const answers = [
    ...(count('voice') > 0 ? [`${count('voice')} by voice (${heardBy})`] : []),
    ...(count('touch') > 0 ? [`${count('touch')} by touching cards, which is not in own words`] : []),
    ...(count('typed') > 0 ? [`${count('typed')} by typing`] : []),
  ];
  return [
    start?.recheck
      ? 'Method: re-check at a kiosk. The learner was asked first about points missed before; only what was missed again was taught.'
      : `Method: teach-back at a kiosk. Each step was explained and asked back${count('touch') > 0 ? '' : " in the learner's own words"}; only what was missed was taught again.`,
    `Answers: ${answers.length > 0 ? answers.join('; ') : 'none'}`,
  ];
}

function rechecked(record: VisitRecord): string[] {
  return thenAndNow(record).map(
    ({ label, before, now }) => `${label}: then ${outcomeNames[before]}; now ${outcomeNames[now]}`,
  );
}

const labelled = ({ label, weight }: ConceptRecord): string =>
  weight === 'critical' ? `${label} (critical)` : label;

/** What the visit itself saw of it. */
function seen(concept: ConceptRecord, { turns }: VisitRecord): string {
  const parts = [
    courseOf(concept, turns),
    concept.final?.label === 'partial' &&
      concept.final.missing &&
      `not heard: ${oneLine(concept.final.missing)}`,
    concept.review.includes('unsure') && 'heard with little certainty',
    taughtAgain(concept),
    concept.handedOver && 'handed over after the tries',
  ];
  return parts.filter(Boolean).join('; ');
}

function needsPerson(record: VisitRecord): string[] {
  const needs = record.concepts.filter(({ outcome }) => outcome === 'needs-person');
  if (needs.length === 0) return ['Nothing that was asked is left open.'];
  return needs.map((concept) => {
    const also = concept.decision ? `; decided by ${concept.decision.by.name}, see below` : '';
    return `${labelled(concept)}: ${seen(concept, record)}${also}`;
  });
}

function putRight(record: VisitRecord): string[] {
  return corrected(record).map((concept) => `${labelled(concept)}: ${seen(concept, record)}`);
}

/** Not right at first, and said in the end. */
const corrected = ({ concepts }: VisitRecord): ConceptRecord[] =>
  concepts.filter(
    ({ outcome, decision, review }) => outcome !== 'needs-person' && !decision && review.length > 0,
  );

function decided({ concepts }: VisitRecord, zone: string): string[] {
  return concepts.flatMap(({ label, judged, decision }) => {
    if (!decision) return [];
    const { by, at, reason } = decision;
    const what = decision.decision === 'understood' ? 'understood' : 'needs a person';
    return [
      `${label}: ${what}. "${oneLine(reason)}" ${oneLine(by.name)}, ${time(at, zone)} (the kiosk: ${outcomeNames[judged]})`,
    ];
  });
}

const responses: Record<ConceptRecord['outcome'], string> = {
  'needs-person': 'NEEDS A PERSON',
  'not-asked': 'Not asked',
  'first-try': 'Said back at the first try',
  'after-reteach': 'Said back later',
  confirmed: 'Confirmed by a clinician',
  'not-said': 'Not said (helpful extras)',
};

/** A line a step: how it went, and with which points. Labels have commas of their own. */
function response({ title, concepts }: StepRecord): string[] {
  const groups = Object.entries(responses).flatMap(([outcome, name]) => {
    const labels = concepts.filter((concept) => concept.outcome === outcome).map(({ label }) => label);
    if (labels.length === 0) return [];
    return `${name}: ${labels.length === concepts.length ? 'all points' : labels.join('; ')}`;
  });
  return groups.length > 0 ? [`${title}. ${groups.join('. ')}.`] : [];
}

/** Once for a step, however many points were missed in it. */
function wordsOf(record: VisitRecord): string[] {
  const shown = new Set(
    [
      ...record.concepts.filter(({ outcome, decision }) => outcome === 'needs-person' || decision),
      ...corrected(record),
    ].map(({ step }) => step),
  );
  return record.steps.flatMap((step) => {
    const words = shown.has(step.step) ? quoted(step, record.turns) : '';
    return words ? [`${step.title}: ${words}`] : [];
  });
}

function showMe({ showMe: points }: VisitRecord): string[] {
  const of = (wanted: boolean | null) =>
    points.filter(({ shown }) => shown === wanted).map(({ text }) => text.replace(/[.]$/, ''));
  const line = (name: string, texts: string[]) => {
    if (texts.length === 0) return [];
    return texts.length === points.length && name === 'Not watched'
      ? ['Not watched.']
      : [`${name}: ${texts.join('; ')}`];
  };
  const later = points.filter((point) => point.later).length;
  const whom = [...new Set(points.flatMap((point) => point.later?.by.name ?? []))].map(oneLine).join(', ');
  return [
    ...line('Shown', of(true)),
    ...line('NOT YET SHOWN', of(false)),
    ...line('Not watched', of(null)),
    ...(later > 0 ? [`Of these, ${later} watched after the visit by ${whom}`] : []),
  ];
}

function questions(record: VisitRecord, zone: string): string[] {
  if (record.questions.length === 0) return ['None.'];
  return record.questions.map(({ text, answer, staff }) => {
    if (answer !== null) return `"${text}" Answered: ${answer}`;
    if (!staff) return `"${text}" KEPT FOR THE CARE TEAM`;
    return `"${text}" Answered by ${oneLine(staff.by.name)}, ${time(staff.at, zone)}: ${staff.answer}`;
  });
}

const callers = {
  learner: 'called by the learner',
  distress: 'words of distress were heard',
  staff: 'called by staff',
} as const;

function helpCalls(record: VisitRecord, zone: string): string[] {
  return record.helpCalls.map(
    ({ at, by, text }) => `${time(at, zone)}: ${callers[by]}${text ? `: "${oneLine(text)}"` : ''}`,
  );
}

function plan({ concepts, questions: asked, showMe: points }: VisitRecord): string[] {
  const labelsOf = (outcome: ConceptRecord['outcome']) =>
    concepts.filter((concept) => concept.outcome === outcome).map(({ label }) => label);
  const needs = labelsOf('needs-person');
  const open = asked.filter(stillOpen);
  const unseen = points.filter(({ shown }) => shown !== true).length;
  const notAsked = labelsOf('not-asked');
  return [
    ...(needs.length > 0 ? [`Go over with the learner and check by teach-back: ${needs.join('; ')}`] : []),
    ...(notAsked.length > 0 ? [`Still to be taught: ${notAsked.join('; ')}`] : []),
    ...(open.length > 0
      ? [`Answer the learner: ${open.map(({ text }) => `"${oneLine(text)}"`).join('; ')}`]
      : []),
    ...(unseen > 0
      ? [
          `Watch the return demonstration, as words do not show technique: ${unseen} of ${points.length} points not seen.`,
        ]
      : []),
    'Give the handout and go over what it stresses.',
    ...(needs.length > 0
      ? [
          `Check the missed points again ${recheckAfter.least} to ${recheckAfter.most} hours after this visit.`,
        ]
      : []),
  ];
}

/** What the record is worth, where it comes from, and what goes before it. */
function about(record: VisitRecord, teaching: TeachingFile, zone: string): string[] {
  const { start, cloud, missing, turns, visit } = record;
  return [
    `Made by a teaching aid${turns.some(({ mode }) => mode === 'voice') ? '; speech was written down by a machine and may hold errors' : ''}. It diagnoses nothing and changes no orders.`,
    "The device maker's instructions, the orders of the care team and local rules come first.",
    ...(teaching.reviewedBy === null ? ['The teaching texts have not been reviewed by a clinician.'] : []),
    ...troubles(record),
    ...(cloud ? [`${time(cloud.at, zone)}: ${cloudAnswer(cloud)}`] : []),
    ...(missing.length > 0 ? [`Entries of the log that could not be read: ${missing.join(', ')}`] : []),
    `Visit ${visit ?? 'not known'}${start ? `, lesson ${start.module} ${start.moduleVersion}` : ''}`,
  ];
}

/** The same trouble in the same step is told once. */
function troubles({ troubles: all, steps }: VisitRecord): string[] {
  const counts = new Map<string, number>();
  for (const { step, what } of all) {
    const title = steps.find((one) => one.step === step)?.title ?? step;
    // Reasons are codes: "nothing-heard".
    const line = `${title ? `${title}: ` : ''}${what.replace(/^Not heard: ([a-z-]+)/, (_, code: string) => `an answer was not heard (${code.replaceAll('-', ' ')})`)}`;
    counts.set(line, (counts.get(line) ?? 0) + 1);
  }
  return [...counts].map(([line, count]) => (count === 1 ? line : `${line} (${count} times)`));
}
