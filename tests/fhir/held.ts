import { parts } from '../../src/fhir/parts';
import { visitResources } from '../../src/fhir/resources';
import type { Reference } from '../../src/fhir/schema';
import { derive } from '../../src/records/derive';
import { texts } from '../records/fixtures';
import { everything, type FhirServer, identifiersOf, type Offers, startServer } from './server';
import { register, type World } from './world';

/* What a server holds of the visits that were filed with it, and what it should. */

type Holding = Pick<FhirServer, 'repository'>;

export const patients = ['A-1', 'A-2', 'A-3'];

/** A server that knows these patients. */
export async function serverWith(offers: Partial<Offers> = {}): Promise<FhirServer> {
  const server = await startServer({ ...everything, ...offers });
  for (const value of patients) {
    await register(server, value);
  }
  return server;
}

const typesOfParts = Object.values(parts).map(({ type }) => type);

/** `<visit>.<part>` of all that the server holds, sorted. */
export function held({ repository }: Holding): string[] {
  return [...typesOfParts, 'RelatedPerson']
    .flatMap((type) => repository.all(type))
    .map((resource) => identifiersOf(resource)[0]?.value ?? '')
    .sort();
}

/** The same of what should be there. */
export async function wanted(world: World, visits: string[], types: readonly string[]): Promise<string[]> {
  const names: string[] = [];
  for (const visit of visits) {
    const record = derive(await world.store.events(visit), texts);
    const nobody = { display: 'x' };
    const made = visitResources(record, texts, {
      ...{ patient: nobody, learner: nobody, device: nobody },
      part: () => 'x',
    });
    for (const [part, { resourceType }] of Object.entries(made)) {
      if (types.includes(resourceType)) names.push(`${visit}.${part}`);
    }
    if (types.includes('RelatedPerson') && record.start?.learner.role === 'caregiver') {
      names.push(`${visit}.caregiver`);
    }
  }
  return names.sort();
}

/** Addresses in what the server holds behind which nothing is. */
export function deadLinks({ repository }: Holding): string[] {
  const types = [...typesOfParts, 'RelatedPerson', 'Device', 'Patient'];
  const all = types.flatMap((type) => repository.all(type));
  const there = new Set(all.map(({ resourceType, id }) => `${resourceType}/${id}`));
  return all
    .flatMap((resource) => [...JSON.stringify(resource).matchAll(/"reference":"([^"]+)"/g)])
    .flatMap(([, address = '']) => (there.has(address) ? [] : address));
}

/** Whose each part is: visit -> number of the patient. */
export function patientsOf({ repository }: Holding): Map<string, string> {
  const numbers = new Map(
    repository.all('Patient').map((patient) => [`Patient/${patient.id}`, identifiersOf(patient)[0]?.value]),
  );
  const found = new Map<string, string>();
  for (const resource of typesOfParts.flatMap((type) => repository.all(type))) {
    const [visit = ''] = (identifiersOf(resource)[0]?.value ?? '').split('.');
    const { subject, for: whom } = resource as { subject?: Reference; for?: Reference };
    const number = numbers.get((subject ?? whom)?.reference ?? '') ?? 'nobody';
    found.set(visit, found.has(visit) && found.get(visit) !== number ? 'several' : number);
  }
  return found;
}
