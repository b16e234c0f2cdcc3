import type { ModuleFile, TeachingFile } from '../../phrasebanks/schema';
import type { VisitRecord } from '../records/derive';
import { codeSystems, questionnaire, systems } from './codes';
import { type Part, partId, parts } from './parts';
import { visitResources } from './resources';
import { type ExportBundle, exportSchema, type Reference } from './schema';
import { plainText } from './text';

/**
 * A visit as a file of its own: a FHIR R4 Bundle of type collection with what the visit leaves and the definitions of
 * our own codes and form. People and kiosk are named, not looked up. Throws as visitResources does.
 * @param patientSystem what the record number is a number of; without it the number stays out
 */
export function exportBundle(
  record: VisitRecord,
  texts: { module: ModuleFile; teaching: TeachingFile },
  now: Date,
  patientSystem?: string,
): ExportBundle {
  const { visit } = record;
  const address = (part: Part) => `urn:uuid:${partId(visit ?? '', part)}`;
  const made = visitResources(record, texts, {
    ...namesOf(record, patientSystem),
    part: address,
  });
  return exportSchema.parse({
    resourceType: 'Bundle',
    identifier: { system: systems.part, value: visit },
    type: 'collection',
    timestamp: now.toISOString(),
    entry: [
      ...(Object.keys(parts) as Part[]).flatMap((part) =>
        made[part] ? [{ fullUrl: address(part), resource: made[part] }] : [],
      ),
      ...[...codeSystems, questionnaire].map((resource) => ({ fullUrl: resource.url, resource })),
    ],
  });
}

function namesOf(
  { start, recordNumber }: VisitRecord,
  patientSystem?: string,
): Record<'patient' | 'learner' | 'device', Reference> {
  const place = plainText(`${start?.ward}, bed ${start?.bed}`) ?? '';
  const name = plainText(start?.learner.name ?? '') ?? 'Learner';
  const relation = plainText(start?.learner.relation ?? '') ?? 'caregiver';
  const self = start?.learner.role === 'patient';
  const value = plainText(recordNumber ?? '');
  const patient = {
    type: 'Patient',
    ...(patientSystem && value ? { identifier: { system: patientSystem, value } } : {}),
    display: self ? `${name} (${place})` : `Patient in ${place}`,
  };
  return {
    patient,
    learner: self ? patient : { type: 'RelatedPerson', display: `${name} (${relation})` },
    device: { type: 'Device', display: `Ownwords kiosk, ${plainText(start?.ward ?? '') ?? 'ward'}` },
  };
}
