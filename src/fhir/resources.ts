import type { ModuleFile, TeachingFile } from '../../phrasebanks/schema';
import type { ConceptRecord, VisitRecord } from '../records/derive';
import { isMadeUp } from '../records/invented';
import { chartNote } from '../records/note';
import { fill } from '../records/plain';
import { stillOpen } from '../records/reviewed';
import {
  type Code,
  education,
  educationNote,
  kindCode,
  patientEducation,
  procedureOutcomes,
  questionnaire,
  resultCode,
  survey,
  systems,
} from './codes';
import { type Part, partId, partIdentifier } from './parts';
import {
  type QuestionnaireResponse,
  type Reference,
  type VisitResource,
  visitResourceSchema,
} from './schema';
import { signingOf } from './signing';
import { plainText, toBase64 } from './text';

/** Who and what a visit points at outside of itself, and how its parts point at each other. */
export interface Links {
  patient: Reference;
  /** Who said it: the patient again, or a caregiver. */
  learner: Reference;
  device: Reference;
  part: (part: Part) => string;
  /** What the chart note is filed as; see educationNote. */
  noteType?: Code;
  /** IANA name, of the times in the note; the device's own by default. */
  timeZone?: string;
}

export type Resources = Partial<Record<Part, VisitResource>>;

/**
 * A visit as FHIR R4 resources, in the order of `parts`; questions and task only where there are some.
 * Throws for the practice visit, whose learner is invented, and for a log without its beginning.
 */
export function visitResources(
  record: VisitRecord,
  texts: { module: ModuleFile; teaching: TeachingFile },
  links: Links,
): Resources {
  const { visit, start, startedAt, endedAt } = record;
  if (!visit || !start || !startedAt || !endedAt) {
    throw new Error('The beginning of this visit is missing from its log, so it cannot be sent or exported.');
  }
  if (isMadeUp(start))
    throw new Error('A practice visit or a sample is never sent or exported: its learner is invented.');

  const period = periodOf(startedAt, endedAt);
  const state = ({ open: 'in-progress', completed: 'completed', stopped: 'stopped' } as const)[record.state];
  const title = plainText(fill(texts.teaching.title, start)) ?? start.module;
  // Of what is written here, not of the visit.
  const { language } = texts.teaching;
  const head = (part: Part) => ({ id: partId(visit, part), language });
  const named = (part: Part) => ({ identifier: [partIdentifier(visit, part)] });
  const { patient, learner, device } = links;
  const place = plainText(`${start.ward}, bed ${start.bed}`) ?? 'Ward';
  const signing = signingOf(record, period.end);
  const signers = signing.signer ? [signing.signer] : [];
  const made: Resources = {};
  const add = (part: Part, resource: VisitResource) => {
    made[part] = visitResourceSchema.parse(resource);
  };

  add('note', {
    resourceType: 'DocumentReference',
    ...head('note'),
    ...named('note'),
    status: 'current',
    docStatus: signing.note,
    type: { coding: [links.noteType ?? educationNote] },
    subject: patient,
    date: period.end,
    author: [device, ...signers],
    ...(signing.signer ? { authenticator: signing.signer } : {}),
    content: [
      {
        attachment: {
          contentType: 'text/plain; charset=utf-8',
          language,
          data: toBase64(
            chartNote(record, texts.teaching, links.timeZone ? { timeZone: links.timeZone } : {}),
          ),
          title: `Patient education by teach-back: ${title}`,
          creation: period.end,
        },
      },
    ],
    context: { period },
  });

  const outcome = outcomeOf(record);
  add('visit', {
    resourceType: 'Procedure',
    ...head('visit'),
    ...named('visit'),
    status: state,
    category: { coding: [education] },
    code: { coding: [patientEducation], text: `Patient education by teach-back: ${title}` },
    subject: patient,
    performedPeriod: period,
    recorder: { display: plainText(start.staff) ?? 'Staff' },
    performer: [{ actor: device }],
    location: { display: place },
    ...(outcome ? { outcome: { coding: [outcome] } } : {}),
    report: [{ reference: links.part('note') }],
  });

  const partOf = [{ reference: links.part('visit') }];
  const item = itemsOf(record);
  add('answers', {
    resourceType: 'QuestionnaireResponse',
    ...head('answers'),
    identifier: partIdentifier(visit, 'answers'),
    partOf,
    questionnaire: `${questionnaire.url}|${questionnaire.version}`,
    status: signing.answers ?? state,
    subject: patient,
    authored: period.end,
    author: device,
    source: learner,
    ...(item.length > 0 ? { item } : {}),
  });

  const component = record.steps.flatMap(({ concepts }) => concepts).flatMap(componentOf);
  if (component.length > 0) {
    add('results', {
      resourceType: 'Observation',
      ...head('results'),
      ...named('results'),
      partOf,
      status: signing.results,
      category: [{ coding: [survey] }],
      code: { coding: [kindCode('results')], text: `Teach-back: ${title}` },
      subject: patient,
      effectivePeriod: period,
      ...(signing.signer ? { issued: signing.at } : {}),
      performer: [learner, ...signers],
      device,
      derivedFrom: [{ reference: links.part('answers') }],
      component,
    });
  }

  const questions = keptQuestions(record);
  if (questions.length > 0) {
    add('questions', {
      resourceType: 'Communication',
      ...head('questions'),
      ...named('questions'),
      partOf,
      status: 'completed',
      subject: patient,
      topic: { coding: [kindCode('questions')] },
      sent: period.end,
      sender: learner,
      payload: questions.map((contentString) => ({ contentString })),
    });
  }

  const left = taskText(record);
  // A task that a record may have from before must not stay open there.
  const description = left ?? (record.wasOpen ? settled : null);
  if (description) {
    add('task', {
      resourceType: 'Task',
      ...head('task'),
      ...named('task'),
      status: left ? 'requested' : 'completed',
      intent: 'proposal',
      code: { coding: [kindCode('for-a-person')] },
      description,
      focus: { reference: links.part('answers') },
      for: patient,
      authoredOn: period.end,
      ...(signing.at > period.end ? { lastModified: signing.at } : {}),
      requester: device,
    });
  }
  return made;
}

function periodOf(from: string, to: string): { start: string; end: string } {
  const start = Date.parse(from);
  // A clock that was set back must not make a period that ends before it starts.
  const end = Math.max(start, Date.parse(to));
  return { start: new Date(start).toISOString(), end: new Date(end).toISOString() };
}

const saidBack = ({ outcome }: ConceptRecord) =>
  outcome === 'first-try' || outcome === 'after-reteach' || outcome === 'confirmed';
const leftOpen = ({ outcome }: ConceptRecord) => outcome === 'needs-person' || outcome === 'not-asked';

/** null while the visit runs, and when nothing was to be taught. */
function outcomeOf({ state, concepts }: VisitRecord): Code | null {
  if (state === 'open' || concepts.length === 0) return null;
  if (!concepts.some(saidBack)) return procedureOutcomes.none;
  return concepts.some(leftOpen) ? procedureOutcomes.some : procedureOutcomes.all;
}

type Item = NonNullable<QuestionnaireResponse['item']>[number];

function itemsOf(record: VisitRecord): Item[] {
  const points = record.steps
    .flatMap(({ concepts }) => concepts)
    .flatMap((concept): Item[] => {
      const id = plainText(concept.concept);
      if (!id) return [];
      const contrary = concept.misconceptions.flatMap((said) => plainText(said) ?? []);
      return [
        {
          linkId: 'point',
          ...worded(concept.label),
          item: [
            { linkId: 'point.id', answer: [{ valueString: id }] },
            { linkId: 'point.result', answer: [{ valueCoding: resultCode(concept.outcome) }] },
            { linkId: 'point.attempts', answer: [{ valueInteger: concept.asked }] },
            ...(contrary.length > 0
              ? [
                  {
                    linkId: 'point.misconception',
                    answer: contrary.map((valueString) => ({ valueString })),
                  },
                ]
              : []),
            ...decisionItems(concept),
          ],
        },
      ];
    });
  const shown = record.showMe.flatMap(({ point, text, shown }): Item[] => {
    const id = plainText(point);
    if (!id) return [];
    return [
      {
        linkId: 'show-me',
        ...worded(text),
        item: [
          { linkId: 'show-me.id', answer: [{ valueString: id }] },
          ...(shown === null ? [] : [{ linkId: 'show-me.shown', answer: [{ valueBoolean: shown }] }]),
        ],
      },
    ];
  });
  const questions = keptQuestions(record);
  return [
    ...points,
    ...shown,
    ...(questions.length > 0
      ? [{ linkId: 'question', answer: questions.map((valueString) => ({ valueString })) }]
      : []),
    ...record.questions.flatMap(answeredItem),
  ];
}

function decisionItems({ decision, judged }: ConceptRecord) {
  if (!decision) return [];
  return [
    { linkId: 'point.judged', answer: [{ valueCoding: resultCode(judged) }] },
    ...said('point.reason', decision.reason),
    ...said('point.decided-by', decision.by.name),
  ];
}

function answeredItem({ text, staff }: VisitRecord['questions'][number]): Item[] {
  if (!staff) return [];
  const item = [
    ...said('answered.question', text),
    ...said('answered.answer', staff.answer),
    ...said('answered.by', staff.by.name),
  ];
  return item.length > 0 ? [{ linkId: 'answered', item }] : [];
}

function said(linkId: string, words: string) {
  const valueString = plainText(words);
  return valueString ? [{ linkId, answer: [{ valueString }] }] : [];
}

function componentOf({ concept, label, outcome }: ConceptRecord) {
  const code = plainText(concept);
  if (!code) return [];
  const display = plainText(label) ?? code;
  return [
    {
      code: { coding: [{ system: systems.concept, code, display }], text: display },
      valueCodeableConcept: { coding: [resultCode(outcome)] },
    },
  ];
}

function worded(text: string): { text?: string } {
  const words = plainText(text);
  return words ? { text: words } : {};
}

/** Also those that staff have answered since: they were kept, and what the record has of them stays. */
function keptQuestions({ questions }: VisitRecord): string[] {
  return questions.flatMap(({ text, answer }) => (answer === null ? (plainText(text) ?? []) : []));
}

const settled = 'Nothing is left: staff have gone over what was open when the visit ended.';

/** What a person is asked to do; null: nothing is left. */
function taskText({ concepts, questions }: VisitRecord): string | null {
  const labels = (outcome: ConceptRecord['outcome']) =>
    concepts.filter((concept) => concept.outcome === outcome).map(({ label }) => label);
  const missed = labels('needs-person');
  const notAsked = labels('not-asked');
  const open = questions.filter((question) => stillOpen(question) && plainText(question.text)).length;
  return plainText(
    [
      ...(missed.length > 0
        ? [`Go over with the learner and check by teach-back: ${missed.join('; ')}.`]
        : []),
      ...(notAsked.length > 0 ? [`Still to be taught: ${notAsked.join('; ')}.`] : []),
      ...(open > 0 ? [`Answer ${open} kept question(s) of the learner.`] : []),
    ].join(' '),
  );
}
