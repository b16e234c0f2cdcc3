import { type Outcome, outcomes } from '../records/derive';
import type { CodeSystem, Questionnaire } from './schema';

/*
 * Codes. SNOMED CT, LOINC and HL7 codes are those of the value sets that FHIR R4 names for these elements.
 * There is no standard code for "said at once" or "said after teaching again": those are our own.
 */

/** Names things for good, on any server; nothing is fetched from it (RFC 2606: .example belongs to nobody). */
const base = 'https://ownwords.example/fhir';
/** Of our own definitions; a change in meaning takes a new one. */
const version = '1.1.0';

export const systems = {
  snomed: 'http://snomed.info/sct',
  loinc: 'http://loinc.org',
  category: 'http://terminology.hl7.org/CodeSystem/observation-category',
  result: `${base}/CodeSystem/teach-back-result`,
  kind: `${base}/CodeSystem/teach-back-kind`,
  /** Points of the modules: `inhaler-spacer.puff.hold` and the like. */
  concept: `${base}/CodeSystem/teach-back-point`,
  /** Identifiers of what a visit leaves: `<visit>.<part>`. */
  part: `${base}/identifier/visit-part`,
  device: `${base}/identifier/kiosk`,
  visit: `${base}/identifier/visit`,
  staff: `${base}/identifier/kiosk-staff`,
  /** Entries of the trail, by their hash. */
  trail: `${base}/identifier/trail-entry`,
  /** What was done, as the trail has it. */
  deed: `${base}/CodeSystem/trail-deed`,
} as const;

export interface Code {
  system: string;
  code: string;
  display: string;
}

// Procedure.category and Procedure.code: http://hl7.org/fhir/R4/valueset-procedure-category.html
export const education: Code = { system: systems.snomed, code: '409073007', display: 'Education' };
export const patientEducation: Code = {
  system: systems.snomed,
  code: '311401005',
  display: 'Patient education',
};
// Procedure.outcome: http://hl7.org/fhir/R4/valueset-procedure-outcome.html
export const procedureOutcomes = {
  all: { system: systems.snomed, code: '385669000', display: 'Successful' },
  some: { system: systems.snomed, code: '385670004', display: 'Partially successful' },
  none: { system: systems.snomed, code: '385671000', display: 'Unsuccessful' },
} as const satisfies Record<string, Code>;
export const survey: Code = { system: systems.category, code: 'survey', display: 'Survey' };
/** What the chart note is filed as, where a site says nothing else. */
export const educationNote: Code = { system: systems.loinc, code: '34895-3', display: 'Education note' };

const results: Record<Outcome, [display: string, definition: string]> = {
  'first-try': ['Said back at the first try', 'The learner said it back at the first question about it.'],
  'after-reteach': [
    'Said back later',
    'The learner said it back after it was asked again or taught again in other words.',
  ],
  confirmed: [
    'Confirmed by a clinician',
    'A clinician decided after the visit that the learner understands it, and wrote why.',
  ],
  'needs-person': [
    'Needs a person',
    'Handed over, contradicted, unsure, not said though it matters, or decided so by a clinician: a person goes over it.',
  ],
  'not-said': ['Not said', 'A helpful extra that was not said and was not taught again.'],
  'not-asked': ['Not asked', 'The visit did not get to it.'],
};

export const resultCode = (outcome: Outcome): Code => ({
  system: systems.result,
  code: outcome,
  display: results[outcome][0],
});

const kinds = {
  results: ['Teach-back results', 'What a learner said back of a lesson, point by point.'],
  'for-a-person': ['For a person', 'What is left of a lesson for a person to go over with the learner.'],
  questions: ['Questions of the learner', 'What the learner asked and was kept for the care team.'],
} as const;

export const kindCode = (kind: keyof typeof kinds): Code => ({
  system: systems.kind,
  code: kind,
  display: kinds[kind][0],
});

/** What every definition of our own says about itself. */
const published = (type: 'CodeSystem' | 'Questionnaire', id: string, title: string) => ({
  id,
  url: `${base}/${type}/${id}`,
  version,
  name: title.replaceAll(' ', ''),
  title,
  status: 'active' as const,
  experimental: false as const,
  publisher: 'Ownwords',
});

const list = (
  id: 'teach-back-result' | 'teach-back-kind',
  title: string,
  codes: [string, readonly [string, string]][],
): CodeSystem => ({
  resourceType: 'CodeSystem',
  ...published('CodeSystem', id, title),
  caseSensitive: true,
  content: 'complete',
  concept: codes.map(([code, [display, definition]]) => ({ code, display, definition })),
});

export const codeSystems: CodeSystem[] = [
  list(
    'teach-back-result',
    'Teach Back Result',
    outcomes.map((outcome) => [outcome, results[outcome]]),
  ),
  list('teach-back-kind', 'Teach Back Kind', Object.entries(kinds)),
];

/** The form that every visit fills, whatever it teaches: points, what the hands showed, questions. */
export const questionnaire: Questionnaire = {
  resourceType: 'Questionnaire',
  ...published('Questionnaire', 'teach-back', 'Teach Back'),
  subjectType: ['Patient'],
  item: [
    {
      linkId: 'point',
      text: 'A point that was taught',
      type: 'group',
      repeats: true,
      item: [
        { linkId: 'point.id', text: 'Which point, as the module names it', type: 'string' },
        { linkId: 'point.result', text: 'What came of it', type: 'choice' },
        { linkId: 'point.attempts', text: 'How often it was asked', type: 'integer' },
        {
          linkId: 'point.misconception',
          text: 'The contrary, said at any time',
          type: 'string',
          repeats: true,
        },
        {
          linkId: 'point.judged',
          text: 'What the visit itself came to, where a clinician decided about the point afterwards',
          type: 'choice',
        },
        { linkId: 'point.reason', text: 'Why the clinician decided so', type: 'string' },
        { linkId: 'point.decided-by', text: 'Who decided', type: 'string' },
      ],
    },
    {
      linkId: 'show-me',
      text: 'A point of the return demonstration',
      type: 'group',
      repeats: true,
      item: [
        { linkId: 'show-me.id', text: 'Which point, as the module names it', type: 'string' },
        { linkId: 'show-me.shown', text: 'Seen by a clinician; no answer: not watched', type: 'boolean' },
      ],
    },
    {
      linkId: 'question',
      text: 'A question that was kept for the care team',
      type: 'string',
      repeats: true,
    },
    {
      linkId: 'answered',
      text: 'A question that was kept, with what staff answered after the visit',
      type: 'group',
      repeats: true,
      item: [
        { linkId: 'answered.question', text: 'The question', type: 'string' },
        { linkId: 'answered.answer', text: 'The answer', type: 'string' },
        { linkId: 'answered.by', text: 'Who answered', type: 'string' },
      ],
    },
  ],
};
