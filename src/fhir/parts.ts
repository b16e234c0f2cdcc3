import { systems } from './codes';
import type { VisitResource } from './schema';

/**
 * What a visit leaves, in the order in which one can point at the other: each points only back.
 * Never change a number: it is part of the ids.
 */
export const parts = {
  note: { type: 'DocumentReference', number: 1 },
  visit: { type: 'Procedure', number: 2 },
  answers: { type: 'QuestionnaireResponse', number: 3 },
  results: { type: 'Observation', number: 4 },
  questions: { type: 'Communication', number: 5 },
  task: { type: 'Task', number: 6 },
} as const satisfies Record<string, { type: VisitResource['resourceType']; number: number }>;
export type Part = keyof typeof parts;

/**
 * The id of a part of a visit, always the same, so that sending again makes nothing twice: the visit's own UUID with
 * the part's number as its last byte and version 8 (RFC 9562, 5.8: made in a way of one's own).
 */
export function partId(visit: string, part: Part): string {
  const number = parts[part].number.toString(16).padStart(2, '0');
  return `${visit.slice(0, 14)}8${visit.slice(15, -2)}${number}`.toLowerCase();
}

/** The name of a part on a server that gives ids of its own. Must not be equal to the id: servers rewrite those. */
export function partIdentifier(visit: string, part: Part): { system: string; value: string } {
  return { system: systems.part, value: `${visit}.${part}` };
}
