import * as z from 'zod/mini';
import { weights } from '../../phrasebanks/schema';
import { engineIds } from '../hearing/types';
import { outcomes, reviewReasons } from './derive';
import { bySchema, decisions, findingSchema, visitStartSchema } from './schema';

const text = z.string();
const when = z.iso.datetime();
const whole = z.int().check(z.gte(0));

const signedSchema = z.strictObject({ at: when, by: bySchema });

/**
 * The file that a visit leaves: format `ownwords-summary/2`, JSON, UTF-8.
 * Times are UTC. Confidences are 0..1. Evidence gives UTF-16 offsets into `heard`, end exclusive.
 */
export const summarySchema = z.strictObject({
  format: z.literal('ownwords-summary/2'),
  /** No clinician has signed this as it stands. */
  unreviewed: z.boolean(),
  /** The last signature, which may be of an earlier state: `changedSince`. */
  signed: z.nullable(signedSchema),
  changedSince: z.boolean(),
  /** Invented learner, never to be filed in a chart. */
  practice: z.boolean(),
  visit: z.nullable(z.uuid()),
  state: z.enum(['open', 'completed', 'stopped']),
  startedAt: z.nullable(when),
  endedAt: z.nullable(when),
  minutes: whole,
  pausedMinutes: whole,
  /** As the clinician entered it; null when the log lost it. */
  start: z.nullable(visitStartSchema),
  /** Number of concepts of each outcome. */
  counts: z.record(z.enum(outcomes), whole),
  /** Gravest first. */
  concepts: z.array(
    z.strictObject({
      concept: text,
      step: text,
      label: text,
      weight: z.enum(weights),
      /** The clinician's, where one has decided. */
      outcome: z.enum(outcomes),
      /** What the visit itself came to. */
      judged: z.enum(outcomes),
      decision: z.nullable(
        z.strictObject({ ...signedSchema.shape, decision: z.enum(decisions), reason: text }),
      ),
      /** Answers needed; null: not understood yet. */
      triesUntilUnderstood: z.nullable(whole),
      /** Answers that were judged. */
      answers: whole,
      retaught: whole,
      handedOver: z.boolean(),
      misconceptions: z.array(text),
      review: z.array(z.enum(reviewReasons)),
      first: z.nullable(findingSchema),
      final: z.nullable(findingSchema),
      /** The words that decided the final finding. */
      words: z.array(text),
    }),
  ),
  /** One question and what came of it, in order. */
  turns: z.array(
    z.strictObject({
      at: when,
      step: text,
      attempt: z.int(),
      asked: z.nullable(text),
      concepts: z.array(text),
      heard: z.nullable(text),
      confidence: z.nullable(z.number()),
      mode: z.nullable(z.enum(['voice', 'touch', 'typed'])),
      engine: z.nullable(z.enum(engineIds)),
      /** What the learner said to "is that right?"; null: not asked. */
      confirmed: z.nullable(z.boolean()),
      notHeard: z.array(z.strictObject({ reason: text, detail: text })),
      findings: z.array(findingSchema),
    }),
  ),
  /** `answer` null: kept for the care team; `staff`: what they answered after the visit. */
  questions: z.array(
    z.strictObject({
      at: when,
      text,
      answer: z.nullable(text),
      staff: z.nullable(z.strictObject({ ...signedSchema.shape, answer: text })),
    }),
  ),
  helpCalls: z.array(z.strictObject({ at: when, by: z.enum(['learner', 'distress', 'staff']), text })),
  /** `shown` null: not watched. `later`: who ticked it after the visit. */
  showMe: z.array(
    z.strictObject({ point: text, text, shown: z.nullable(z.boolean()), later: z.nullable(signedSchema) }),
  ),
  /** What the learner answered when asked whether the voice may leave the device; null: not asked. */
  cloud: z.nullable(z.strictObject({ at: when, engine: z.enum(engineIds), agreed: z.boolean() })),
  ears: z.array(z.enum(engineIds)),
  voices: z.array(text),
  troubles: z.array(z.strictObject({ at: when, step: z.nullable(text), what: text })),
  missing: z.array(whole),
  cautions: z.array(text),
});
export type SummaryFile = z.infer<typeof summarySchema>;
