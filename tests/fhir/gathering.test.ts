import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { parts } from '../../src/fhir/parts';
import { visitResources } from '../../src/fhir/resources';
import type { Reference } from '../../src/fhir/schema';
import { derive } from '../../src/records/derive';
import { freshRow } from '../../src/records/rows';
import type { VisitFact } from '../../src/records/types';
import { anyVisit } from '../records/arbitrary';
import { texts, wholeVisit } from '../records/fixtures';
import { everything, type Fault, type FhirServer, identifiersOf, type Offers, startServer } from './server';
import { makeWorld, patientSystem, store, type World } from './world';

/*
 * Visits sent to a real FHIR router (@medplum/fhir-router, with its memory as the store) over HTTP, while things go
 * wrong. Whatever goes wrong: each visit is there once, whole, and nothing is forgotten.
 */

let server: FhirServer;
afterEach(() => server.close());

const patients = ['A-1', 'A-2', 'A-3'];
async function serves(offers: Partial<Offers> = {}): Promise<FhirServer> {
  server = await startServer({ ...everything, ...offers });
  for (const value of patients) {
    await server.repository.createResource({
      resourceType: 'Patient',
      identifier: [{ system: patientSystem, value }],
    });
  }
  return server;
}

const idOf = (n: number) => `${String(n).padStart(8, '0')}-5a0e-4c57-9b1e-0d8f5f0a1c11`;

/** 200 visits that are over; each third learner is a caregiver. */
const generated: VisitFact[][] = fc
  .sample(anyVisit, { numRuns: 200, seed: Number(process.env.SEED ?? 20260601) })
  .map((facts, n) => [
    ...facts
      .filter(({ type }) => type !== 'finished' && type !== 'record-number')
      .map((fact) =>
        fact.type === 'visit-started' && n % 3 === 0
          ? {
              ...fact,
              start: { ...fact.start, learner: { ...fact.start.learner, role: 'caregiver' as const } },
            }
          : fact,
      ),
    { type: 'finished', how: 'completed' },
  ]);

const typesOfParts = Object.values(parts).map(({ type }) => type);

/** `<visit>.<part>` of all that the server holds, sorted. */
function held(types: readonly string[] = [...typesOfParts, 'RelatedPerson']): string[] {
  return types
    .flatMap((type) => server.repository.all(type))
    .map((resource) => identifiersOf(resource)[0]?.value ?? '')
    .sort();
}

/** The same of what should be there. */
async function wanted(world: World, visits: string[], types: readonly string[]): Promise<string[]> {
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
function deadLinks(): string[] {
  const types = [...typesOfParts, 'RelatedPerson', 'Device', 'Patient'];
  const all = types.flatMap((type) => server.repository.all(type));
  const there = new Set(all.map(({ resourceType, id }) => `${resourceType}/${id}`));
  return all
    .flatMap((resource) => [...JSON.stringify(resource).matchAll(/"reference":"([^"]+)"/g)])
    .flatMap(([, address = '']) => (there.has(address) ? [] : address));
}

/** Whose each part is: visit -> number of the patient. */
function patientsOf(): Map<string, string> {
  const numbers = new Map(
    server.repository
      .all('Patient')
      .map((patient) => [`Patient/${patient.id}`, identifiersOf(patient)[0]?.value]),
  );
  const found = new Map<string, string>();
  for (const resource of typesOfParts.flatMap((type) => server.repository.all(type))) {
    const [visit = ''] = (identifiersOf(resource)[0]?.value ?? '').split('.');
    const { subject, for: whom } = resource as { subject?: Reference; for?: Reference };
    const number = numbers.get((subject ?? whom)?.reference ?? '') ?? 'nobody';
    found.set(visit, found.has(visit) && found.get(visit) !== number ? 'several' : number);
  }
  return found;
}

const faults: Record<string, Fault> = {
  'a condition that is not met (412)': { at: 'before', status: 412 },
  'too many requests (429, Retry-After)': { at: 'before', status: 429, headers: { 'Retry-After': '7' } },
  'out of order (503)': { at: 'before', status: 503 },
  'a fault of the server (500)': { at: 'before', status: 500 },
  'the answer lost after all was done': { at: 'after', how: 'lost' },
  'the connection closed in the middle of the answer': { at: 'after', how: 'half' },
};
const offers: Record<string, Partial<Offers>> = {
  'bundles, ids of ours': {},
  'bundles, PUT with a condition': { updateCreate: false },
  'bundles, POST with a condition': { updateCreate: false, conditionalUpdate: false },
  'one by one, ids of ours': { transaction: false },
  'one by one, PUT with a condition': { transaction: false, updateCreate: false },
  'one by one, POST with a condition': { transaction: false, updateCreate: false, conditionalUpdate: false },
  'one by one, looking first': {
    transaction: false,
    updateCreate: false,
    conditionalUpdate: false,
    conditionalCreate: false,
  },
  'the note alone': {
    transaction: false,
    updateCreate: false,
    conditionalUpdate: false,
    types: ['DocumentReference'],
  },
};

/** All of these visits are over and filed, each five times. */
async function fileFiveTimes(world: World, visits: string[]) {
  for (let time = 0; time < 5; time += 1) {
    for (const visit of visits) {
      await world.store.saveOutbox(freshRow(visit));
    }
    await world.outbox.wake();
    await world.settle();
    const { waiting, held, rows, problem } = world.view();
    expect({ waiting, held, problem, filed: rows.size }).toEqual({
      ...{ waiting: 0, held: 0, problem: '', filed: visits.length },
    });
  }
}

/** The same numbers each time: 0..1. */
function dice(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

describe.each(Object.entries(offers))('a server that takes %s', (name, offer) => {
  const index = Object.keys(offers).indexOf(name);
  const types = offer.types ?? everything.types;
  const number = (n: number) => patients[n % patients.length]!;

  it('holds 25 visits once each, sent five times while one request in four goes wrong in some way', async () => {
    await serves(offer);
    const world = makeWorld(server);
    const mine = generated.slice(index * 25, index * 25 + 25);
    const visits = mine.map((_, n) => idOf(n));
    for (const [n, facts] of mine.entries()) await store(world, facts, visits[n]!, number(n));
    const roll = dice(7 + index);
    const kinds = Object.values(faults);
    const used = new Set<Fault>();
    server.faults = () => {
      if (roll() >= 0.25) return null;
      const fault = kinds[Math.floor(roll() * kinds.length)]!;
      used.add(fault);
      return fault;
    };
    await fileFiveTimes(world, visits);
    expect(used.size).toBe(kinds.length);
    expect(held()).toEqual(await wanted(world, visits, types));
    expect(patientsOf()).toEqual(new Map(visits.map((visit, n) => [visit, number(n)])));
    expect(deadLinks()).toEqual([]);
    expect(server.repository.all('Device')).toHaveLength(types.includes('Device') ? 1 : 0);
    expect(world.troubles).toEqual([]);
  });

  it.each(Object.entries(faults))(
    'holds a visit once after %s, at whichever request',
    async (_what, fault) => {
      await serves(offer);
      const world = makeWorld(server);
      const visits: string[] = [];
      // The first visit meets it at its first request, the second at its second ...
      for (let n = 0; n < 20; n += 1) {
        const visit = idOf(n);
        visits.push(visit);
        await store(world, wholeVisit, visit, number(n));
        const from = server.asked.length;
        let met = false;
        server.faults = (_asked, at) => {
          if (met || at !== from + n) return null;
          met = true;
          return fault;
        };
        await world.outbox.wake();
        if (met) expect(world.view()).toMatchObject({ waiting: 1, held: 0 });
        if (met) expect(world.view().problem).not.toBe('');
        await world.settle();
        expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
        if (!met) break;
      }
      expect(visits.length).toBeGreaterThan(2);
      expect(held()).toEqual(await wanted(world, visits, types));
      expect(deadLinks()).toEqual([]);
    },
  );
});
