import type { VisitRecord } from '../records/derive';
import type { Reference } from './schema';
import { plainText } from './text';

/** What the resources of a visit say about its review. */
export interface Signing {
  /** docStatus of the note. */
  note: 'preliminary' | 'final' | 'amended';
  /** Status of the Observation. */
  results: 'preliminary' | 'final' | 'amended';
  /** Status of the QuestionnaireResponse, where it is no more that of the visit; null: it is. */
  answers: 'amended' | null;
  /** Who vouches for all of it as it stands; null: nobody. */
  signer: Reference | null;
  /** Of the last change or signature, else of the end; instant. */
  at: string;
}

/**
 * The note (http://hl7.org/fhir/R4/valueset-composition-status.html): 'final' is "verified by an appropriate person",
 * 'amended' is modified after that "and ... verified by an authorized person", 'preliminary' "may be incomplete or
 * unverified". So what was changed after a signature is preliminary until somebody signs again.
 *
 * The results (http://hl7.org/fhir/R4/valueset-observation-status.html): 'amended' is "subsequent to being Final, the
 * observation has been modified", whoever has verified it. The answers
 * (http://hl7.org/fhir/R4/valueset-questionnaire-answers-status.html): 'amended' is changed or added to after the end.
 */
export function signingOf({ signOff }: VisitRecord, end: string): Signing {
  const { signed, changedSince, amended, changedAt } = signOff;
  const valid = signed !== null && !changedSince;
  const times = [end, signed?.at, changedAt].flatMap((at) => (at ? Date.parse(at) : []));
  return {
    note: !valid ? 'preliminary' : amended ? 'amended' : 'final',
    results: !signed ? 'preliminary' : changedSince || amended ? 'amended' : 'final',
    answers: changedAt ? 'amended' : null,
    signer: valid ? { type: 'Practitioner', display: plainText(signed.by.name) ?? 'Staff' } : null,
    at: new Date(Math.max(...times)).toISOString(),
  };
}
