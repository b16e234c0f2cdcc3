import * as z from 'zod/mini';
import { engineIds } from '../hearing/types';
import { labels } from '../scoring/types';
import { outcomes } from './derive';

/*
 * The visit log. Append-only and the one truth: all that is shown, printed or exported is derived from it.
 */

const text = z.string();
/** Somebody has written something. */
const words = z.string().check(z.regex(/\S/, 'empty'));
const unit = z.number().check(z.gte(0), z.lte(1));

export const barriers = ['sight', 'hearing', 'memory', 'hands', 'reading', 'breath'] as const;
export const waysToLearn = ['listening', 'looking', 'doing', 'reading'] as const;
/** How ready for teaching the clinician finds the learner. That it is noted is common practice, the steps are ours. */
export const readiness = ['eager', 'willing', 'hesitant', 'not-now'] as const;

const particulars = z.strictObject({
  medicine: text,
  timesADay: text,
  careTeam: text,
  flameDistance: text,
  tubingLength: text,
  soakIn: text,
  soakTime: text,
  callNumber: text,
  emergencyNumber: text,
});

/** What the clinician enters before a visit. */
export const visitStartSchema = z.strictObject({
  visit: z.uuid(),
  /** True for the practice visit: invented learner, never exported. */
  practice: z.boolean(),
  ward: text,
  /** The patient's number in the hospital's records, where visits are filed there. */
  recordNumber: z.optional(text),
  bed: text,
  staff: text,
  learner: z.strictObject({
    role: z.enum(['patient', 'caregiver']),
    name: text,
    relation: z.optional(text),
  }),
  language: text,
  interpreter: z.boolean(),
  prefers: z.enum(waysToLearn),
  barriers: z.array(z.enum(barriers)),
  module: text,
  moduleVersion: text,
  /** The steps to teach, in order. */
  steps: z.array(text),
  audioOnly: z.boolean(),
  /** 'touch': who does not speak; the ear stays closed until the learner opens it. Left out: by voice. */
  answers: z.optional(z.enum(['voice', 'touch'])),
  /** Who presses one switch (choose) or two (next, choose); `each` item is pointed at for so many ms. */
  switches: z.optional(z.strictObject({ keys: z.enum(['one', 'two']), each: z.int() })),
  particulars,
  /** Left out: not entered. */
  readiness: z.optional(z.enum(readiness)),
  /** Only these points of an earlier visit are asked, before anything is taught. */
  recheck: z.optional(
    z.strictObject({
      of: z.uuid(),
      /** When that visit ended. */
      at: z.iso.datetime(),
      /** And what had come of each then. */
      points: z.array(z.strictObject({ concept: text, before: z.enum(outcomes) })),
      /** What the hands had not shown yet. */
      showMe: z.array(text),
    }),
  ),
  /** One of several lessons in a row, each a visit. What comes after it stands here, so that none is forgotten. */
  sitting: z.optional(
    z.strictObject({
      id: z.uuid(),
      /** From 0. */
      index: z.int(),
      /** true: it began as the one before ended, so greeting and sound check had been. */
      follows: z.boolean(),
      toCome: z.array(z.strictObject({ module: text, steps: z.array(text), particulars })),
    }),
  ),
});
export type VisitStart = z.infer<typeof visitStartSchema>;

export const heardSchema = z.strictObject({
  text,
  confidence: unit,
  alternatives: z.array(z.strictObject({ text, confidence: unit })),
  words: z.optional(z.array(z.strictObject({ word: text, confidence: unit }))),
  engine: z.enum(engineIds),
});

export const findingSchema = z.strictObject({
  concept: text,
  label: z.enum(labels),
  confidence: unit,
  evidence: z.array(z.strictObject({ start: z.int(), end: z.int() })),
  missing: z.optional(text),
  contradiction: z.optional(text),
  order: z.optional(z.strictObject({ id: text, says: text })),
  doubtful: z.optional(z.boolean()),
  reason: text,
});

/** Who of the staff did it: as they typed it, or, with their id, as they opened the sealed records. */
export const bySchema = z.strictObject({ name: words, id: z.optional(text) });
export type By = z.infer<typeof bySchema>;

/** What a clinician may decide about a point. */
export const decisions = ['understood', 'needs-person'] as const;

/** What happened, without when. The machines make these, and what is added after the end is made by the review. */
export const visitFactSchema = z.discriminatedUnion('type', [
  z.strictObject({ type: z.literal('visit-started'), start: visitStartSchema }),
  /** Which ear and voice are in use, and why; again whenever one changes. */
  z.strictObject({ type: z.literal('engine-chosen'), ear: z.enum(engineIds), voice: text, why: text }),
  /** No ear on the device knew the language: may the voice leave it, to this engine? Used only after a yes. */
  z.strictObject({ type: z.literal('cloud-asked'), engine: z.enum(engineIds), agreed: z.boolean() }),
  z.strictObject({ type: z.literal('sound-checked'), ok: z.boolean(), detail: text }),
  z.strictObject({ type: z.literal('step-started'), step: text }),
  z.strictObject({
    type: z.literal('explained'),
    step: text,
    wording: z.enum(['first', 'repeat', 'simplest']),
  }),
  z.strictObject({ type: z.literal('asked'), step: text, attempt: z.int(), concepts: z.array(text), text }),
  z.strictObject({
    type: z.literal('heard'),
    step: text,
    attempt: z.int(),
    mode: z.enum(['voice', 'touch', 'typed']),
    heard: heardSchema,
    /** true: the learner said it was heard right; null: not asked. */
    confirmed: z.nullable(z.boolean()),
  }),
  z.strictObject({ type: z.literal('not-heard'), step: text, reason: text, detail: z.optional(text) }),
  z.strictObject({
    type: z.literal('judged'),
    step: text,
    attempt: z.int(),
    findings: z.array(findingSchema),
  }),
  z.strictObject({ type: z.literal('retaught'), step: text, attempt: z.int(), concepts: z.array(text) }),
  z.strictObject({ type: z.literal('handed-over'), step: text, concepts: z.array(text) }),
  z.strictObject({ type: z.literal('step-finished'), step: text }),
  z.strictObject({ type: z.literal('question'), text, answer: z.nullable(text) }),
  z.strictObject({ type: z.literal('help-called'), by: z.enum(['learner', 'distress', 'staff']), text }),
  /** With `by`: seen after the visit. */
  z.strictObject({ type: z.literal('show-me'), point: text, shown: z.boolean(), by: z.optional(bySchema) }),
  z.strictObject({ type: z.literal('paused'), why: text }),
  z.strictObject({ type: z.literal('resumed') }),
  /** Entered or put right by staff, also after the end; the last one counts. */
  z.strictObject({ type: z.literal('record-number'), number: text }),
  /**
   * The patient whom the record server found by this number was shown to staff, who said whether it is the one of this
   * visit. Counts for this number and this patient only; the last one counts. `by`: whoever had opened the records.
   */
  z.strictObject({
    type: z.literal('patient-checked'),
    number: text,
    patient: text,
    shown: text,
    yes: z.boolean(),
    by: z.optional(text),
  }),
  z.strictObject({ type: z.literal('finished'), how: z.enum(['completed', 'stopped']) }),
  /** A clinician decides about a point in place of the judging. The last one counts, unless it was taken back. */
  z.strictObject({
    type: z.literal('decided'),
    concept: text,
    decision: z.enum(decisions),
    reason: words,
    by: bySchema,
  }),
  z.strictObject({ type: z.literal('decision-taken-back'), concept: text, by: bySchema }),
  /** Staff have answered the question that is event `question` of the log. The last one counts. */
  z.strictObject({ type: z.literal('answered'), question: z.int(), answer: words, by: bySchema }),
  /** A clinician vouches for the log up to here. Whatever is added later is not signed. */
  z.strictObject({ type: z.literal('signed'), by: bySchema }),
]);
export type VisitFact = z.infer<typeof visitFactSchema>;

/** A visit has some hundred events. What lies under a number from here on is none: nothing is counted up to it. */
export const seqLimit = 1_000_000;
export const seqSchema = z.int().check(z.gte(0), z.lt(seqLimit));

/** A fact with its place in the log. */
export const visitEventSchema = z.strictObject({
  visit: z.uuid(),
  /** 0, 1, 2 ... without gaps within a visit. */
  seq: seqSchema,
  at: z.iso.datetime(),
  fact: visitFactSchema,
});
export type VisitEvent = z.infer<typeof visitEventSchema>;
