import * as z from 'zod/mini';

/*
 * Elements of FHIR R4 that our resources are made of, as strict as we emit them.
 */

// http://hl7.org/fhir/R4/datatypes.html: id, code, uri, string, instant and dateTime (ours are always UTC, to the ms).
export const id = z.string().check(z.regex(/^[A-Za-z0-9\-.]{1,64}$/));
export const code = z.string().check(z.regex(/^[^\s]+(\s[^\s]+)*$/));
export const uri = z.string().check(z.regex(/^\S+$/));
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
const line = /^[^\s\u0000-\u001f]([^\u0000-\u001f\u007f]*[^\s\u0000-\u001f])?$/;
/** One line, without space around it. */
export const text = z.string().check(z.regex(line));
export const when = z.string().check(z.regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/));
export const base64 = z
  .string()
  .check(z.regex(/^([A-Za-z0-9+/]{4})+$|^([A-Za-z0-9+/]{4})*[A-Za-z0-9+/]{2,3}={1,2}$/));
/** FHIR knows no empty array. */
export const some = <T extends z.core.$ZodType>(of: T) => z.array(of).check(z.minLength(1));

export const coding = z.strictObject({ system: uri, code, display: text });
export const concept = z.strictObject({ coding: z.optional(some(coding)), text: z.optional(text) });
export const identifier = z.strictObject({ system: uri, value: text });
/** By address, by identifier or only by name. */
export const reference = z
  .strictObject({
    reference: z.optional(uri),
    type: z.optional(code),
    identifier: z.optional(identifier),
    display: z.optional(text),
  })
  .check(
    z.refine((given) => Boolean(given.reference || given.identifier || given.display), 'points nowhere'),
  );
export const period = z
  .strictObject({ start: when, end: when })
  .check(z.refine(({ start, end }) => start <= end, 'ends before it starts'));
export type Reference = z.infer<typeof reference>;

/** A file of resources: a Bundle of the type 'collection'. */
export const collectionOf = <R extends z.ZodMiniType>(resource: R) =>
  z.strictObject({
    resourceType: z.literal('Bundle'),
    identifier,
    type: z.literal('collection'),
    timestamp: when,
    entry: some(z.strictObject({ fullUrl: uri, resource })),
  });
