import * as z from 'zod/mini';
import type { Deed, Entry } from '../records/seal/trail';
import { type Code, systems } from './codes';
import { coding, collectionOf, identifier, reference, some, text, when, code as word } from './elements';
import { plainText } from './text';

/*
 * The trail as FHIR R4 AuditEvents (http://hl7.org/fhir/R4/auditevent.html). Codes are those of the value sets that R4
 * names for the elements: DICOM PS3.16, CID 400 and 401, and ISO 21089 as HL7 publishes it. What a deed is exactly
 * stands beside them in a code of our own.
 */

const dicom = (code: string, display: string): Code => ({
  system: 'http://dicom.nema.org/resources/ontology/DCM',
  code,
  display,
});
const lifecycle = (code: string, display: string): Code => ({
  system: 'http://terminology.hl7.org/CodeSystem/iso-21089-lifecycle',
  code,
  display: `${display} Record Lifecycle Event`,
});

const authentication = dicom('110114', 'User Authentication');
const alert = dicom('110113', 'Security Alert');
const login = dicom('110122', 'Login');
const ofUsers = dicom('110137', 'User security Attributes Changed');

/** http://hl7.org/fhir/R4/valueset-audit-event-action.html and -outcome.html; 0, a success, where none is said */
interface Coded {
  type: Code;
  subtype?: Code;
  action: 'C' | 'R' | 'U' | 'D' | 'E';
  outcome?: '4' | '8';
}

export const deedCodes: Record<Deed['what'], Coded> = {
  'set-up': { type: alert, subtype: dicom('110129', 'Security Configuration'), action: 'C' },
  opened: { type: authentication, subtype: login, action: 'E' },
  'emergency-opened': { type: alert, subtype: dicom('110127', 'Emergency Override Started'), action: 'E' },
  failed: { type: authentication, subtype: login, action: 'E', outcome: '4' },
  locked: { type: authentication, subtype: login, action: 'E', outcome: '8' },
  closed: { type: authentication, subtype: dicom('110123', 'Logout'), action: 'E' },
  read: { type: lifecycle('access', 'Access/View'), action: 'R' },
  'went-on': { type: lifecycle('amend', 'Amend (Update)'), action: 'U' },
  printed: { type: lifecycle('report', 'Report (Output)'), action: 'R' },
  copied: { type: lifecycle('extract', 'Extract'), action: 'R' },
  exported: { type: dicom('110106', 'Export'), action: 'R' },
  'decided-otherwise': { type: lifecycle('amend', 'Amend (Update)'), action: 'U' },
  answered: { type: lifecycle('amend', 'Amend (Update)'), action: 'U' },
  'seen-later': { type: lifecycle('amend', 'Amend (Update)'), action: 'U' },
  signed: { type: lifecycle('attest', 'Attest'), action: 'U' },
  'filed-by-hand': { type: lifecycle('verify', 'Verify'), action: 'E' },
  'staff-added': { type: alert, subtype: ofUsers, action: 'C' },
  'staff-removed': { type: alert, subtype: ofUsers, action: 'D' },
  'staff-let-in': { type: alert, subtype: ofUsers, action: 'U' },
  'secret-changed': { type: alert, subtype: ofUsers, action: 'U' },
  'code-renewed': { type: alert, subtype: ofUsers, action: 'U' },
  'key-exchanged': {
    type: alert,
    subtype: dicom('110135', 'Object Security Attributes Changed'),
    action: 'U',
  },
  'trail-exported': { type: dicom('110101', 'Audit Log Used'), action: 'R' },
  'backed-up': { type: dicom('110106', 'Export'), action: 'R' },
  restored: { type: lifecycle('restore', 'Restore'), action: 'C' },
  erased: { type: lifecycle('destroy', 'Destroy/Delete'), action: 'D' },
  expired: { type: lifecycle('destroy', 'Destroy/Delete'), action: 'D' },
  'clock-confirmed': { type: alert, subtype: dicom('110129', 'Security Configuration'), action: 'U' },
  'server-listed': { type: dicom('110112', 'Query'), action: 'E' },
  'server-read': { type: lifecycle('access', 'Access/View'), action: 'R' },
  'ward-read': { type: lifecycle('access', 'Access/View'), action: 'R' },
  'ward-saved': { type: dicom('110106', 'Export'), action: 'R' },
  'sample-loaded': { type: lifecycle('originate', 'Originate/Retain'), action: 'C' },
  'sample-erased': { type: lifecycle('destroy', 'Destroy/Delete'), action: 'D' },
  'patient-confirmed': { type: lifecycle('link', 'Link'), action: 'E' },
  'patient-refused': { type: lifecycle('verify', 'Verify'), action: 'E' },
};

const auditEventSchema = z.strictObject({
  resourceType: z.literal('AuditEvent'),
  id: word,
  type: coding,
  subtype: some(coding),
  action: z.enum(['C', 'R', 'U', 'D', 'E']),
  recorded: when,
  outcome: z.enum(['0', '4', '8']),
  outcomeDesc: z.optional(text),
  agent: some(
    z.strictObject({ who: z.optional(reference), altId: text, name: text, requestor: z.boolean() }),
  ),
  source: z.strictObject({ observer: reference, type: some(coding) }),
  entity: some(
    z.strictObject({
      what: z.strictObject({ identifier }),
      type: coding,
      role: z.optional(coding),
      name: text,
      detail: z.optional(some(z.strictObject({ type: text, valueString: text }))),
    }),
  ),
});
export type AuditEvent = z.infer<typeof auditEventSchema>;

const auditBundleSchema = collectionOf(
  z.union([
    auditEventSchema,
    z.strictObject({
      resourceType: z.literal('OperationOutcome'),
      issue: some(
        z.strictObject({
          severity: z.enum(['warning', 'information']),
          code: z.enum(['conflict', 'informational']),
          diagnostics: text,
        }),
      ),
    }),
  ]),
);
export type AuditBundle = z.infer<typeof auditBundleSchema>;

const entityType = (code: string, display: string): Code => ({
  system: 'http://terminology.hl7.org/CodeSystem/audit-entity-type',
  code,
  display,
});
const objectRole = (code: string, display: string): Code => ({
  system: 'http://terminology.hl7.org/CodeSystem/object-role',
  code,
  display,
});

export interface AuditOptions {
  /** Which kiosk it is the trail of. */
  kiosk: string;
  /** What each deed is called. */
  names: Record<Deed['what'], string>;
  now: Date;
}

/**
 * The trail as a Bundle of type collection. The last entity of each event holds the entry as the chain of hashes was
 * made of it, so that the chain can be checked from the file alone: the SHA-256 of the JSON of
 * `[seq, at, who, what, visit, detail, before]`, null for what is not there. First in the bundle stands whether the
 * chain was whole when the file was made.
 */
export function auditBundle(
  { entries, broken }: { entries: readonly Entry[]; broken: string | null },
  options: AuditOptions,
): AuditBundle {
  const kiosk = plainText(options.kiosk) ?? 'Kiosk';
  const head = entries.at(-1)?.hash ?? '0'.repeat(64);
  return auditBundleSchema.parse({
    resourceType: 'Bundle',
    identifier: { system: systems.trail, value: head },
    type: 'collection',
    timestamp: options.now.toISOString(),
    entry: [
      {
        fullUrl: `urn:uuid:${uuidFrom(head, '0')}`,
        resource: {
          resourceType: 'OperationOutcome',
          issue: [
            broken
              ? {
                  severity: 'warning',
                  code: 'conflict',
                  diagnostics: `The chain is not whole: ${plainText(broken)}`,
                }
              : {
                  severity: 'information',
                  code: 'informational',
                  diagnostics: `The chain of ${entries.length} entries is whole; its newest hash is ${head}.`,
                },
          ],
        },
      },
      ...entries.map((entry) => ({
        fullUrl: `urn:uuid:${uuidFrom(entry.hash, '1')}`,
        resource: auditEvent(entry, kiosk, options.names),
      })),
    ],
  });
}

function auditEvent(entry: Entry, kiosk: string, names: AuditOptions['names']): object {
  const { seq, at, who, what, visit, detail, before, hash } = entry;
  const { type, subtype, action, outcome = '0' } = deedCodes[what];
  const given = detail === undefined ? null : plainText(detail);
  return {
    resourceType: 'AuditEvent',
    id: uuidFrom(hash, '1'),
    type,
    subtype: [...(subtype ? [subtype] : []), { system: systems.deed, code: what, display: names[what] }],
    action,
    recorded: new Date(at).toISOString(),
    outcome,
    ...(given ? { outcomeDesc: given } : {}),
    agent: [agentOf(who)],
    source: {
      observer: {
        type: 'Device',
        identifier: { system: systems.device, value: kiosk },
        display: `Ownwords kiosk, ${kiosk}`,
      },
      type: [
        {
          system: 'http://terminology.hl7.org/CodeSystem/security-source-type',
          code: '1',
          display: 'User Device',
        },
      ],
    },
    entity: [
      ...(visit
        ? [
            {
              what: { identifier: { system: systems.visit, value: visit } },
              type: entityType('2', 'System Object'),
              role: objectRole('3', 'Report'),
              name: 'The visit',
            },
          ]
        : []),
      {
        what: { identifier: { system: systems.trail, value: hash } },
        type: entityType('4', 'Other'),
        role: objectRole('13', 'Security Resource'),
        name: `Entry ${seq} of the trail`,
        // As it is, to the letter, or not at all: the hash is made of it.
        detail: Object.entries({ seq, at, who, what, visit, detail, before, hash }).flatMap(
          ([type, value]) => (value === undefined ? [] : [{ type, valueString: written(value) }]),
        ),
      },
    ],
  };
}

/** Two signs, or nothing, stand for who has no id. */
function agentOf(who: string) {
  const altId = plainText(who) ?? '-';
  const agent = { altId, requestor: true };
  if (altId === '!') return { ...agent, name: 'Whoever had the code from the envelope' };
  if (altId === '-') return { ...agent, requestor: false, name: 'The kiosk: nobody had opened the records' };
  if (altId === '?') return { ...agent, name: 'An id that nobody has' };
  return {
    ...agent,
    who: { identifier: { system: systems.staff, value: altId }, display: altId },
    name: altId,
  };
}

/** JSON that FHIR strings can hold: all controls are written out. */
const written = (value: string | number) => JSON.stringify(value).replaceAll('\u007f', '\\u007f');

/** Always the same for the same hash; version 8 (RFC 9562, 5.8: made in a way of one's own). */
function uuidFrom(hash: string, kind: string): string {
  return [
    hash.slice(0, 8),
    hash.slice(8, 12),
    `8${hash.slice(12, 15)}`,
    `a${hash.slice(15, 18)}`,
    `${kind}${hash.slice(18, 29)}`,
  ].join('-');
}
