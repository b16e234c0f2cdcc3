import * as z from 'zod/mini';
import { quantitySchema } from './schema';

/*
 * <lang>.judging.json: what counts as said back.
 *
 * A pattern is a line of terms that must stand near each other in the answer, in any order:
 *   word        the word, in any of its forms ("rinse" also finds "rinsing"); a_b is "a b" in a row
 *   @class      any entry of `words.class`
 *   a/b/@c      any of these; a sign before the first holds for all that have none of their own
 *   -a          a, and negated ("no soap" for -soap); without the sign a must not be negated,
 *               unless another word of the pattern is
 *   ?a          a, negated or not
 *   !a          a must not stand there; !-a: a negated must not
 *   a < b       a comes before b
 *   #0  #0!     a quantity inside / outside the range of quantities[0]; #0* #0!* also take a bare number
 *   {12}        the stretch may be 12 words long (10 without it)
 */

const id = z.string().check(z.regex(/^[a-z0-9-]+(\.[a-z0-9-]+)*$/, 'use small letters, digits, "-" and "."'));
const text = z.string().check(z.trim(), z.minLength(1, 'must not be empty'));
const pattern = text;

export const partSchema = z.strictObject({
  id,
  /** Any one of these says it. */
  any: z.array(pattern).check(z.minLength(1)),
  /** false: earns nothing by itself, only together with the other parts. */
  alone: z.optional(z.boolean()),
});

export const contradictionSchema = z.strictObject({
  id,
  /** The mistake as a learner would say it; also the text of a touch card. */
  says: text,
  any: z.array(pattern),
  /** More whole sentences, matched word by word like `accept`. */
  phrases: z.optional(z.array(text)),
});

export const conceptJudgingSchema = z.strictObject({
  /** The concept in one plain sentence, first person; also the text of the right touch card. */
  says: text,
  /** Whole ways to say all of it. */
  accept: z.array(text).check(z.minLength(8, 'at least 8 accepted phrases')),
  /** In the order in which a follow-up asks for them. All are needed. */
  parts: z.array(partSchema).check(z.minLength(1)),
  /** Vague but on the topic: earns `partial`. */
  hints: z.optional(z.array(pattern)),
  quantities: z.optional(z.array(quantitySchema)),
  /** true: holds without a condition, so "only if ..." or "sometimes" beside it is a contradiction. */
  always: z.optional(z.boolean()),
  contradictions: z.array(contradictionSchema).check(z.minLength(1)),
});
export type ConceptJudging = z.infer<typeof conceptJudgingSchema>;

export const orderSchema = z.strictObject({
  id,
  /** The concept that comes first, and the one that comes after it. */
  first: id,
  next: id,
  /** What is reported when they are told the other way round, as one sentence for a clinician. */
  says: text,
});
export type OrderRule = z.infer<typeof orderSchema>;

export const judgingSchema = z.strictObject({
  module: id,
  language: z.string().check(z.regex(/^[a-z]{2}(-[A-Z]{2})?$/, 'a language such as "en" or "es-MX"')),
  /** Who of the trade reviewed these texts; null is shown to staff as "not reviewed". */
  reviewedBy: z.nullable(text),
  /** Everyday words by class, with what a recogniser makes of them; an entry may have several words. */
  words: z.record(z.string().check(z.regex(/^[a-z]+$/)), z.array(text).check(z.minLength(1))),
  concepts: z.record(id, conceptJudgingSchema),
  /** Where the order matters. */
  order: z.optional(z.array(orderSchema)),
});
export type JudgingFile = z.infer<typeof judgingSchema>;
