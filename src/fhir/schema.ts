import * as z from 'zod/mini';
import {
  base64,
  code,
  coding,
  collectionOf,
  concept,
  id,
  identifier,
  period,
  reference,
  some,
  text,
  uri,
  when,
} from './elements';

export type { Reference } from './elements';

/*
 * What we emit, no more: FHIR R4 (4.0.1) cut down to our own elements. Strict, so that a slip in the mapping shows
 * here and not at a hospital's server.
 */

export const procedureSchema = z.strictObject({
  resourceType: z.literal('Procedure'),
  id,
  language: code,
  identifier: some(identifier),
  status: z.enum(['in-progress', 'completed', 'stopped']),
  category: concept,
  code: concept,
  subject: reference,
  performedPeriod: period,
  recorder: reference,
  performer: some(z.strictObject({ actor: reference })),
  location: reference,
  outcome: z.optional(concept),
  report: some(reference),
});

const answer = z.union([
  z.strictObject({ valueString: text }),
  z.strictObject({ valueInteger: z.int() }),
  z.strictObject({ valueBoolean: z.boolean() }),
  z.strictObject({ valueCoding: coding }),
]);
const leaf = z.strictObject({ linkId: text, text: z.optional(text), answer: some(answer) });
const group = z.strictObject({ linkId: text, text: z.optional(text), item: some(leaf) });

export const questionnaireResponseSchema = z.strictObject({
  resourceType: z.literal('QuestionnaireResponse'),
  id,
  language: code,
  identifier,
  partOf: some(reference),
  questionnaire: uri,
  status: z.enum(['in-progress', 'completed', 'stopped', 'amended']),
  subject: reference,
  authored: when,
  author: reference,
  source: reference,
  item: z.optional(some(z.union([leaf, group]))),
});

export const observationSchema = z.strictObject({
  resourceType: z.literal('Observation'),
  id,
  language: code,
  identifier: some(identifier),
  partOf: some(reference),
  status: z.enum(['preliminary', 'final', 'amended']),
  category: some(concept),
  code: concept,
  subject: reference,
  effectivePeriod: period,
  issued: z.optional(when),
  performer: some(reference),
  device: reference,
  derivedFrom: some(reference),
  component: some(z.strictObject({ code: concept, valueCodeableConcept: concept })),
});

export const communicationSchema = z.strictObject({
  resourceType: z.literal('Communication'),
  id,
  language: code,
  identifier: some(identifier),
  partOf: some(reference),
  status: z.literal('completed'),
  subject: reference,
  topic: concept,
  sent: when,
  sender: reference,
  payload: some(z.strictObject({ contentString: text })),
});

export const taskSchema = z.strictObject({
  resourceType: z.literal('Task'),
  id,
  language: code,
  identifier: some(identifier),
  status: z.enum(['requested', 'completed']),
  intent: z.literal('proposal'),
  code: concept,
  description: text,
  focus: reference,
  for: reference,
  authoredOn: when,
  lastModified: z.optional(when),
  requester: reference,
});

export const documentReferenceSchema = z.strictObject({
  resourceType: z.literal('DocumentReference'),
  id,
  language: code,
  identifier: some(identifier),
  status: z.literal('current'),
  docStatus: z.enum(['preliminary', 'final', 'amended']),
  type: concept,
  subject: reference,
  date: when,
  author: some(reference),
  authenticator: z.optional(reference),
  content: some(
    z.strictObject({
      attachment: z.strictObject({
        contentType: z.literal('text/plain; charset=utf-8'),
        language: code,
        data: base64,
        title: text,
        creation: when,
      }),
    }),
  ),
  context: z.strictObject({ period }),
});

/** What every definition of our own says about itself. */
const published = {
  id,
  url: uri,
  version: text,
  name: z.string().check(z.regex(/^[A-Z][A-Za-z0-9_]{0,254}$/)),
  title: text,
  status: z.literal('active'),
  experimental: z.literal(false),
  publisher: text,
};

export const codeSystemSchema = z.strictObject({
  resourceType: z.literal('CodeSystem'),
  ...published,
  caseSensitive: z.literal(true),
  content: z.literal('complete'),
  concept: some(z.strictObject({ code, display: text, definition: text })),
});

const question = z.strictObject({
  linkId: text,
  text,
  type: z.enum(['string', 'choice', 'integer', 'boolean']),
  repeats: z.optional(z.literal(true)),
});
export const questionnaireSchema = z.strictObject({
  resourceType: z.literal('Questionnaire'),
  ...published,
  subjectType: some(code),
  item: some(
    z.union([
      question,
      z.strictObject({
        linkId: text,
        text,
        type: z.literal('group'),
        repeats: z.literal(true),
        item: some(question),
      }),
    ]),
  ),
});

/** What one visit leaves in a record. */
export const visitResourceSchema = z.discriminatedUnion('resourceType', [
  documentReferenceSchema,
  procedureSchema,
  questionnaireResponseSchema,
  observationSchema,
  communicationSchema,
  taskSchema,
]);

/** The file of "Export as FHIR". */
export const exportSchema = collectionOf(
  z.union([visitResourceSchema, codeSystemSchema, questionnaireSchema]),
);

export type VisitResource = z.infer<typeof visitResourceSchema>;
export type CodeSystem = z.infer<typeof codeSystemSchema>;
export type Questionnaire = z.infer<typeof questionnaireSchema>;
export type DocumentReference = z.infer<typeof documentReferenceSchema>;
export type QuestionnaireResponse = z.infer<typeof questionnaireResponseSchema>;
export type ExportBundle = z.infer<typeof exportSchema>;
