import { oneLine } from '../records/plain';

/**
 * What people said or typed, as a FHIR string: one line, no controls (http://hl7.org/fhir/R4/datatypes.html#string),
 * no half characters, which JSON cannot carry. null when nothing is left of it: FHIR knows no empty string.
 */
export function plainText(text: string): string | null {
  return oneLine(text.replace(/\p{Surrogate}/gu, '\ufffd')) || null;
}

/** UTF-8, then Base64. */
export function toBase64(text: string): string {
  let bytes = '';
  for (const byte of new TextEncoder().encode(text)) bytes += String.fromCharCode(byte);
  return btoa(bytes);
}
