import type { VisitRecord } from '../records/derive';
import { type HumanName, namesAgree } from './names';
import { plainText } from './text';

/** A patient as the record server knows them. */
export interface FoundPatient {
  /** `Patient/<id>` */
  reference: string;
  names: HumanName[];
  /** As the server writes it; empty: not known. */
  born: string;
}

/** What staff are asked before a visit is filed: is it the visit of this patient? Names people, so it is never stored. */
export interface PatientAsked {
  number: string;
  patient: string;
  /** Empty: the record has no name. */
  name: string;
  born: string;
}

/**
 * May a visit be filed with the patient who was found by its number? A patient who learned has to have the name that
 * was entered; where that cannot be told, and for a caregiver, whose patient's name nobody entered, staff have to
 * have said so of this very number and patient.
 */
export function whose(
  record: VisitRecord,
  number: string,
  found: FoundPatient,
): 'theirs' | 'ask' | 'not-theirs' {
  const said = record.patientChecks.findLast(
    (check) => check.number === number && check.patient === found.reference,
  );
  if (said) return said.yes ? 'theirs' : 'not-theirs';
  const { role, name } = record.start?.learner ?? {};
  return role === 'patient' && namesAgree(name ?? '', found.names) ? 'theirs' : 'ask';
}

/** @param patient a Patient resource of any server */
export function foundPatient(reference: string, patient: object): FoundPatient {
  const { name, birthDate } = patient as { name?: unknown; birthDate?: unknown };
  return {
    reference,
    names: (Array.isArray(name) ? name : []).map(humanName),
    born: typeof birthDate === 'string' ? birthDate : '',
  };
}

export const asked = (number: string, { reference, names, born }: FoundPatient): PatientAsked => ({
  number,
  patient: reference,
  name: names.map(shown).find(Boolean) ?? '',
  born,
});

/** In one line, as it is called. */
export function shown({ text, given = [], family, suffix = [] }: HumanName): string {
  return plainText(text || [...given, family ?? '', ...suffix].join(' ')) ?? '';
}

function humanName(given: unknown): HumanName {
  const name = (given ?? {}) as Record<string, unknown>;
  const one = (value: unknown) => (typeof value === 'string' ? value : undefined);
  const many = (value: unknown) =>
    Array.isArray(value) ? value.filter((each): each is string => typeof each === 'string') : undefined;
  return {
    text: one(name.text),
    family: one(name.family),
    given: many(name.given),
    suffix: many(name.suffix),
  };
}
