import type { TeachingFile } from '../../phrasebanks/schema';
import type { EngineId } from '../hearing/types';
import type { VoiceId } from '../speaking/types';
import type { ConceptRecord, ReviewReason, StepRecord, VisitRecord } from './derive';
import { isMadeUp } from './invented';
import { outcomeNames } from './outcome-names';
import { fill, oneLine } from './plain';
import { recheckAfter, thenAndNow } from './recheck';
import { stillOpen } from './reviewed';
import type { VisitStart } from './types';

/*
 * The chart note: plain text, one fact a line, to be pasted. What it holds follows the trade's rule to
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
    section('METHOD', method(record, zone)),
    section('RE-CHECK: THEN AND NOW', rechecked(record)),
    section('NEEDS A PERSON', needsPerson(record)),
    section('PUT RIGHT DURING THE VISIT', putRight(record)),
    section('RESPONSE TO TEACHING', record.steps.flatMap(response)),
    section('RETURN DEMONSTRATION (SHOW-ME), WATCHED BY THE CLINICIAN', showMe(record)),
    section('QUESTIONS OF THE LEARNER', questions(record)),
    section('CALLS FOR HELP', helpCalls(record, zone)),
    section('LIMITS OF THIS RECORD', limits(record, zone)),
    section('PLAN (SUGGESTED; THE CLINICIAN DECIDES)', plan(record)),
    section('CAUTIONS', [
      'The instructions of the device maker, the orders of the care team and local rules come first.',
      'The teaching aid diagnoses nothing and changes no orders.',
      'Words do not show technique: the return demonstration does.',
    ]),
    'Reviewed and signed by: ____________________  Date and time: ____________________',
  ];
  return `${sections.filter((part) => part !== '').join('\n\n')}\n`;
}

function section(title: string, lines: string[]): string {
  return lines.length === 0 ? '' : [title, ...lines.map((line) => `- ${oneLine(line)}`)].join('\n');
}

/** By zone. Dear to make, and a note has many times in it. */
const formats = new Map<string, Intl.DateTimeFormat>();

/** 2026-03-02 14:05, in the zone; the same in every locale. */
function time(at: string, timeZone: string): string {
  const format =
    formats.get(timeZone) ??
    new Intl.DateTimeFormat('sv-SE', { dateStyle: 'short', timeStyle: 'short', timeZone });
  formats.set(timeZone, format);
  return format.format(new Date(at));
}

/** The hour alone when the day is the same. */
function endOf(from: string, to: string, zone: string): string {
  const [startDay] = time(from, zone).split(' ');
  const [day, hour] = time(to, zone).split(' ');
  return day === startDay ? `${hour}` : `${day} ${hour}`;
}

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
      ? `${time(startedAt, zone)} to ${endOf(startedAt, endedAt, zone)} (${zone}), ${record.minutes} minutes${paused}`
      : 'not known';
  return [
    'PATIENT EDUCATION NOTE: TEACH-BACK',
    'Recorded by a teaching aid; not reviewed until a clinician signs.',
    ...(start && isMadeUp(start)
      ? ['PRACTICE VISIT: the learner is invented. Do not file this in a chart.']
      : []),
    ...(record.state === 'open' ? ['The visit is not finished; this note is a draft.'] : []),
    `Visit: ${record.visit ?? 'not known'}, ${states[record.state]}`,
    ...(start?.recheck
      ? [`Re-check of visit ${start.recheck.of}, which ended ${time(start.recheck.at, zone)}`]
      : []),
    ...(start?.sitting ? [`Lesson ${start.sitting.index + 1} of several in one sitting`] : []),
    `Time: ${when}`,
    `Place: ${start ? oneLine(`${start.ward}, bed ${start.bed}`) : 'not known'}`,
    `Started by: ${start ? oneLine(start.staff) : 'not known'}`,
  ].join('\n');
}

function learner({ start, recordNumber }: VisitRecord): string[] {
  if (!start) return ['Not known: the start of the visit is missing from the log.'];
  const { role, name, relation } = start.learner;
  const who = role === 'patient' ? 'patient' : `caregiver${relation ? `, ${relation}` : ''}`;
  return [
    `Learner: ${name} (${who})`,
    ...(recordNumber ? [`Record number of the patient: ${recordNumber}`] : []),
    `Language: ${start.language}; interpreter: ${start.interpreter ? 'yes' : 'no'}`,
    `Prefers to learn by: ${start.prefers}${start.audioOnly ? '; went through the visit by ear only' : ''}`,
    ...access(start),
    ...(start.readiness ? [`Readiness to learn, as entered: ${readinessNames[start.readiness]}`] : []),
    `Barriers to learning: ${start.barriers.length > 0 ? start.barriers.join(', ') : 'none entered'}`,
  ];
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

function taught({ start, steps }: VisitRecord, teaching: TeachingFile): string[] {
  const reached = steps.filter(({ state }) => state !== 'not-started').map(({ title }) => title);
  const own = start?.particulars;
  return [
    `${fill(teaching.title, start)}${start ? ` (${start.module} ${start.moduleVersion})` : ''}`,
    ...(own
      ? [
          `For this learner: ${own.medicine}; times a day: ${own.timesADay}; number to call: ${own.callNumber}`,
        ]
      : []),
    `Steps: ${reached.length > 0 ? reached.join('; ') : 'none'}`,
    ...(teaching.reviewedBy === null ? ['The teaching texts have not been reviewed by a clinician.'] : []),
  ];
}

/** What heard the answers, for staff. */
export const earNames: Record<EngineId, string> = {
  'browser-local': "the browser's recogniser, on the device",
  'browser-cloud': "the browser's recogniser, over the network",
  embedded: 'the built-in recogniser, on the device',
  touch: 'touch',
  typed: 'typing',
};
const voiceNames: Record<VoiceId, string> = {
  clip: 'recorded clips',
  system: "the device's voice",
  embedded: 'the built-in voice',
  none: 'no voice, text only',
};

function named(ids: readonly string[], names: Record<string, string>): string {
  return ids.map((id) => (Object.hasOwn(names, id) ? names[id] : id)).join(', ') || 'not recorded';
}

/** What heard and what spoke, in words. For the note and the review. */
export const heardAndSpoken = ({ ears, voices }: VisitRecord): string =>
  `Heard by: ${named(ears, earNames)}; spoken by: ${named(voices, voiceNames)}`;

function method(record: VisitRecord, zone: string): string[] {
  const { turns, cloud } = record;
  const count = (mode: string) => turns.filter((turn) => turn.mode === mode).length;
  const answers = (['voice', 'touch', 'typed'] as const)
    .filter((mode) => count(mode) > 0)
    .map((mode) => `${count(mode)} by ${mode === 'typed' ? 'typing' : mode}`);
  return [
    record.start?.recheck
      ? 'Re-check by voice kiosk: the learner was asked first, in their own words, about points missed before; only what was missed again was taught.'
      : 'Teach-back by voice kiosk: each step was explained, the learner was asked to say it back in their own words, and only what was missed was taught again.',
    `Answers: ${answers.length > 0 ? answers.join(', ') : 'none'}`,
    ...(count('touch') > 0
      ? ['An answer by touch chooses among cards; it is not in the own words of the learner.']
      : []),
    heardAndSpoken(record),
    ...(cloud ? [`${time(cloud.at, zone)}: ${cloudAnswer(cloud)}`] : []),
  ];
}

/** For the note and the review. */
export function cloudAnswer({ engine, agreed }: NonNullable<VisitRecord['cloud']>): string {
  return `The learner was asked whether the voice may leave the device (${earNames[engine]}) and ${agreed ? 'agreed' : 'declined; answers were given by touch and typing'}.`;
}

const reasons: Record<ReviewReason, string> = {
  misconception: 'said the contrary',
  'critical-miss': 'critical point missed',
  'handed-over': 'handed over after the tries',
  unsure: 'judged with low confidence',
  'not-said': 'not said back in full',
};

function why(concept: ConceptRecord): string {
  return concept.review.map((reason) => reasons[reason]).join(', ');
}

/** Every answer that was judged on it, so that the judgement can be checked. */
function answersOf(concept: ConceptRecord): string {
  if (concept.answers.length === 0) return concept.asked > 0 ? 'No answer was judged.' : 'Not asked.';
  return concept.answers
    .map(
      ({ heard, finding }, index) => `Answer ${index + 1}: "${heard}" (${finding.label}: ${finding.reason})`,
    )
    .join(' ');
}

function rechecked(record: VisitRecord): string[] {
  return thenAndNow(record).map(
    ({ label, before, now }) => `${label}: then ${outcomeNames[before]}; now ${outcomeNames[now]}`,
  );
}

function needsPerson({ concepts }: VisitRecord): string[] {
  const needs = concepts.filter(({ outcome }) => outcome === 'needs-person');
  if (needs.length === 0) return ['Nothing that was asked is left open.'];
  return needs.map(
    (concept) =>
      `${concept.label} [${concept.weight}]: ${why(concept)}; taught again: ${times(concept.retaught)}. ${answersOf(concept)}`,
  );
}

function times(count: number): string {
  return count === 0 ? 'no' : count === 1 ? 'once' : `${count} times`;
}

function putRight({ concepts }: VisitRecord): string[] {
  return concepts
    .filter(({ outcome, review }) => outcome !== 'needs-person' && review.length > 0)
    .map(
      (concept) => `${concept.label} [${concept.weight}]: ${why(concept)} at first. ${answersOf(concept)}`,
    );
}

function response(step: StepRecord): string[] {
  return step.concepts.map((concept) => `${step.title}: ${concept.label} -> ${outcomeOf(concept)}`);
}

function outcomeOf(concept: ConceptRecord): string {
  const { outcome, triesUntilUnderstood: tries, retaught } = concept;
  if (outcome === 'first-try') return 'said back at the first try';
  if (outcome === 'after-reteach') {
    return `said back at try ${tries ?? '?'}, ${retaught > 0 ? 'after teaching again' : 'after asking again'}`;
  }
  if (outcome === 'needs-person') return 'NEEDS A PERSON';
  return outcome === 'not-said' ? 'not said (a helpful extra)' : 'not asked';
}

const shownAs = { true: 'shown', false: 'NOT YET SHOWN', null: 'not watched' } as const;

function showMe(record: VisitRecord): string[] {
  return record.showMe.map(({ text, shown }) => `${text.replace(/[.]$/, '')}: ${shownAs[`${shown}`]}`);
}

function questions(record: VisitRecord): string[] {
  if (record.questions.length === 0) return ['None.'];
  return record.questions.map(({ text, answer }) =>
    answer === null ? `"${text}" KEPT FOR THE CARE TEAM` : `"${text}" answered: ${answer}`,
  );
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

function limits({ troubles, missing }: VisitRecord, zone: string): string[] {
  return [
    'Speech was written down by a machine and may hold errors.',
    ...troubles.map(({ at, step, what }) => `${time(at, zone)}${step ? `, step ${step}` : ''}: ${what}`),
    ...(missing.length > 0 ? [`Entries of the log that could not be read: ${missing.join(', ')}`] : []),
  ];
}

function plan({ concepts, questions: asked, showMe: points }: VisitRecord): string[] {
  const labelsOf = (outcome: ConceptRecord['outcome']) =>
    concepts.filter((concept) => concept.outcome === outcome).map(({ label }) => label);
  const needs = labelsOf('needs-person');
  const open = asked.filter(stillOpen).length;
  const unseen = points.filter(({ shown }) => shown !== true).length;
  const notAsked = labelsOf('not-asked');
  return [
    ...(needs.length > 0 ? [`Go over with the learner and check by teach-back: ${needs.join('; ')}`] : []),
    ...(notAsked.length > 0 ? [`Still to be taught: ${notAsked.join('; ')}`] : []),
    ...(open > 0 ? [`Answer ${open} kept question${open === 1 ? '' : 's'} of the learner.`] : []),
    ...(unseen > 0 ? [`Watch the return demonstration: ${unseen} of ${points.length} points not seen.`] : []),
    'Give the handout and go over what it stresses.',
    ...(needs.length > 0
      ? [
          `Check the missed points again ${recheckAfter.least} to ${recheckAfter.most} hours after this visit.`,
        ]
      : []),
  ];
}
