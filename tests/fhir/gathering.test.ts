import 'fake-indexeddb/auto';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { DocumentReference } from '@medplum/fhirtypes';
import { IDBFactory } from 'fake-indexeddb';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { parts } from '../../src/fhir/parts';
import { visitResources } from '../../src/fhir/resources';
import type { Reference } from '../../src/fhir/schema';
import { derive } from '../../src/records/derive';
import { freshRow } from '../../src/records/rows';
import { openDiskStore } from '../../src/records/store';
import type { VisitFact, VisitStore } from '../../src/records/types';
import { anyVisit } from '../records/arbitrary';
import { texts, wholeVisit } from '../records/fixtures';
import { fakeLocks } from '../records/locks';
import { everything, type Fault, type FhirServer, identifiersOf, type Offers, startServer } from './server';
import { makeWorld, register, store, type World } from './world';

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
    await register(server, value);
  }
  return server;
}

const number = (n: number) => patients[n % patients.length]!;
const idOf = (n: number) => `${String(n).padStart(8, '0')}-5a0e-4c57-9b1e-0d8f5f0a1c11`;

/** 200 visits that are over; each third learner is a caregiver. */
const generated: VisitFact[][] = fc
  .sample(anyVisit, { numRuns: 200, seed: Number(process.env.SEED ?? 20260601) })
  .map((facts, n) => [
    ...facts
      .filter(({ type }) => !['finished', 'record-number', 'patient-checked'].includes(type))
      .map((fact) =>
        fact.type === 'visit-started'
          ? {
              ...fact,
              start: {
                ...fact.start,
                learner: {
                  ...fact.start.learner,
                  ...(n % 3 === 0
                    ? { role: 'caregiver' as const }
                    : { role: 'patient' as const, name: ['I. M.', 'Marlow, Ines'][n % 2]! }),
                },
              },
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

/** Servers that meet each fault alone as well: one of each way to write. */
const alone = [
  'bundles, ids of ours',
  'one by one, POST with a condition',
  'one by one, looking first',
  'the note alone',
];

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

  it('holds 25 visits once each, sent five times while one request in four goes wrong in some way', async () => {
    await serves(offer);
    const world = makeWorld(server);
    const mine = generated.slice(index * 25, index * 25 + 25);
    const visits = mine.map((_, n) => idOf(n));
    for (const [n, facts] of mine.entries()) {
      await store(world, facts, visits[n]!, number(n));
      const [start] = facts;
      if (start?.type !== 'visit-started' || start.start.learner.role === 'patient') continue;
      const patient = server.repository
        .all('Patient')
        .find((one) => identifiersOf(one)[0]?.value === number(n));
      await world.store.append(visits[n]!, [
        {
          ...{ type: 'patient-checked', number: number(n), patient: `Patient/${patient?.id}` },
          ...{ shown: 'Ines Marlow', yes: true },
        },
      ]);
    }
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
});

describe.each(alone)('a server that takes %s', (name) => {
  const offer = offers[name]!;
  const types = offer.types ?? everything.types;

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

describe('what is sent where', () => {
  const requests = () =>
    server.asked.map(
      ({ method, url }) => `${method} ${url.replace(/\/[0-9a-f-]{36}$/, '/id').split('?')[0]}`,
    );

  it('is one bundle, where a server takes bundles, after it was asked who the patient is', async () => {
    await serves();
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-2');
    await world.outbox.wake();
    expect(requests()).toEqual(['GET /Patient', 'PUT /Device/id', 'POST /']);
    const [patient] = server.repository
      .all('Patient')
      .filter((one) => identifiersOf(one)[0]?.value === 'A-2');
    const [note] = server.repository.all('DocumentReference') as DocumentReference[];
    expect(note?.subject?.reference).toBe(`Patient/${patient?.id}`);
    expect(note?.author?.[0]?.reference).toBe(`Device/${server.repository.all('Device')[0]?.id}`);
  });

  it('goes one by one, in an order in which nothing points at what is not there', async () => {
    await serves({ transaction: false });
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-2');
    await world.outbox.wake();
    expect(requests()).toEqual([
      ...['GET /Patient', 'PUT /Device/id', 'PUT /DocumentReference/id', 'PUT /Procedure/id'],
      ...['PUT /QuestionnaireResponse/id', 'PUT /Observation/id', 'PUT /Communication/id', 'PUT /Task/id'],
    ]);
  });

  it('goes one by one as well, where a server promises bundles and then refuses them', async () => {
    await serves();
    const world = makeWorld(server);
    server.faults = ({ url }) => (url === '/' ? { at: 'before', status: 405 } : null);
    await store(world, wholeVisit, idOf(1), 'A-2');
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
    expect(held()).toEqual(await wanted(world, [idOf(1)], everything.types));
  });

  it('is the note alone, where a server takes nothing else', async () => {
    await serves({ types: ['DocumentReference'], transaction: false });
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-2');
    await world.outbox.wake();
    expect(requests()).toEqual(['GET /Patient', 'PUT /DocumentReference/id']);
  });

  it('is nothing of the practice visit, of one that runs, and of one without a record number', async () => {
    await serves();
    const world = makeWorld(server);
    const [start, ...rest] = wholeVisit;
    if (start?.type !== 'visit-started') throw new Error('no start');
    await store(world, [{ ...start, start: { ...start.start, practice: true } }, ...rest], idOf(1), 'A-1');
    await store(world, wholeVisit.slice(0, -1), idOf(2), 'A-1');
    await store(world, wholeVisit, idOf(3));
    await world.outbox.wake();
    expect(server.asked).toEqual([]);
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
    await world.store.append(idOf(2), [{ type: 'finished', how: 'stopped' }]);
    await world.outbox.wake();
    expect(held()).toEqual(await wanted(world, [idOf(2)], everything.types));
  });

  it('never creates a patient', async () => {
    await serves();
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'nobody has it');
    await world.outbox.wake();
    expect(server.repository.all('Patient')).toHaveLength(patients.length);
    expect(held()).toEqual([]);
  });
});

describe('what staff see and do', () => {
  it('a record number that nobody has: held, told so, and filed for the right one once it is entered', async () => {
    await serves();
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-7');
    await store(world, wholeVisit, idOf(2), 'A-1');
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(world.view().problem).toContain('knows no patient with this record number');
    expect(world.view().problem).not.toContain('A-7');
    expect(world.planned()).toBeNull();
    await world.outbox.tryAgain(idOf(1), () =>
      world.store.append(idOf(1), [{ type: 'record-number', number: 'A-3' }]),
    );
    expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
    expect(patientsOf()).toEqual(
      new Map([
        [idOf(2), 'A-1'],
        [idOf(1), 'A-3'],
      ]),
    );
  });

  it('an answer that does not tell of all parts is no success', async () => {
    await serves();
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-1');
    server.faults = ({ url }) => (url === '/' ? { at: 'after', how: 'empty' } : null);
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 1, held: 0 });
    expect(world.view().problem).toContain('does not tell whether it has filed the visit');
    server.faults = () => null;
    await world.settle();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
    expect(held()).toEqual(await wanted(world, [idOf(1)], everything.types));
  });

  it('two patients with the number: nothing is filed', async () => {
    await serves();
    await register(server, 'A-1');
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-1');
    await world.outbox.wake();
    expect(world.view().problem).toContain('more than one patient');
    expect(held()).toEqual([]);
  });

  it('a visit that the server refuses is held with its words, which are not stored; the others go on', async () => {
    await serves();
    const world = makeWorld(server);
    for (const n of [1, 2, 3]) await store(world, wholeVisit, idOf(n), 'A-1');
    server.faults = ({ body }) =>
      JSON.stringify(body)?.includes(`${idOf(2)}.note`) ? { at: 'before', status: 422 } : null;
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(world.view().problem).toMatch(/Show this line to IT.*422, POST bundle.*“Not now”/);
    expect(JSON.stringify(await world.store.outbox())).not.toContain('Not now');
    expect(patientsOf().size).toBe(2);
    server.faults = () => null;
    await world.outbox.tryAgain();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
    expect(patientsOf().size).toBe(3);
  });

  it('one that brings the server down every time does not keep the others from their turn', async () => {
    await serves();
    const world = makeWorld(server);
    for (const n of [1, 2, 3]) await store(world, wholeVisit, idOf(n), 'A-1');
    server.faults = ({ body }) =>
      JSON.stringify(body)?.includes(`${idOf(1)}.note`) ? { at: 'before', status: 500 } : null;
    await world.outbox.wake();
    await world.settle(3);
    expect([...patientsOf().keys()].sort()).toEqual([idOf(2), idOf(3)]);
    expect(world.view()).toMatchObject({ waiting: 1, held: 0 });
  });

  it('a server that wants quiet gets it, from all visits and for as long as it said', async () => {
    await serves();
    const world = makeWorld(server);
    for (const n of [1, 2]) await store(world, wholeVisit, idOf(n), 'A-1');
    server.faults = () => ({ at: 'before', status: 429, headers: { 'Retry-After': '120' } });
    await world.outbox.wake();
    expect(server.asked).toHaveLength(1);
    expect(world.planned()).toBeGreaterThanOrEqual(120_000);
    await store(world, wholeVisit, idOf(3), 'A-1');
    await world.outbox.wake();
    expect(server.asked).toHaveLength(1);
    server.faults = () => null;
    await world.settle();
    expect(patientsOf().size).toBe(3);
  });

  it('no server at all: all wait, seldomer and seldomer, and go once it is there', async () => {
    await serves();
    const world = makeWorld({ address: 'http://127.0.0.1:9/fhir' });
    await store(world, wholeVisit, idOf(1), 'A-1');
    await world.outbox.wake();
    const waits: number[] = [];
    for (let n = 0; n < 12; n += 1) {
      waits.push(world.planned() ?? -1);
      await world.settle(1);
    }
    expect(world.view()).toMatchObject({ waiting: 1, held: 0 });
    expect(world.view().problem).toContain('cannot be reached');
    expect(waits.at(-1)).toBeGreaterThan(7 * 60_000);
    expect(Math.max(...waits)).toBeLessThanOrEqual(15 * 60_000);
    const later = makeWorld(server, world.store);
    await later.outbox.tryAgain();
    expect(held()).toEqual(await wanted(world, [idOf(1)], everything.types));
  });

  it('a page that is no FHIR server, such as one for signing in, is told from one', async () => {
    await serves();
    const page = createServer((_req, res) => res.end('<p>Sign in</p>'));
    await new Promise<void>((done) => page.listen(0, '127.0.0.1', done));
    try {
      const world = makeWorld({ address: `http://127.0.0.1:${(page.address() as AddressInfo).port}/fhir` });
      await store(world, wholeVisit, idOf(1), 'A-1');
      await world.outbox.wake();
      expect(world.view()).toMatchObject({ waiting: 1, held: 0 });
      expect(world.view().problem).toContain('What answers is no record server');
    } finally {
      page.close();
    }
  });
});

describe('a server that offers no safe way to send twice', () => {
  const unsafe: Partial<Offers> = {
    transaction: false,
    updateCreate: false,
    conditionalUpdate: false,
    conditionalCreate: false,
    search: false,
    types: ['DocumentReference'],
  };

  it('gets the note once; where its answer is lost, a person looks before it is sent again', async () => {
    await serves(unsafe);
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-1');
    server.faults = ({ method }) => (method === 'POST' ? { at: 'after', how: 'lost' } : null);
    await world.outbox.wake();
    server.faults = () => null;
    await world.settle();
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(world.view().problem).toContain('Look into the chart');
    expect(server.repository.all('DocumentReference')).toHaveLength(1);
    // It was not there, says whoever looked.
    await world.outbox.tryAgain(idOf(1));
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
  });

  it('is asked again by the kiosk itself where it refused, which leaves no doubt', async () => {
    await serves(unsafe);
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-1');
    let first = true;
    server.faults = ({ method }) => {
      if (method !== 'POST' || !first) return null;
      first = false;
      return { at: 'before', status: 503 };
    };
    await world.outbox.wake();
    await world.settle();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
    expect(server.repository.all('DocumentReference')).toHaveLength(1);
  });

  it('is not asked twice either when the kiosk dies between sending and noting', async () => {
    await serves(unsafe);
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-1');
    const dying = { ...world, store: dyingAfter(world.store) };
    await makeWorld(server, dying.store).outbox.wake();
    expect(server.repository.all('DocumentReference')).toHaveLength(1);
    const next = makeWorld(server, world.store);
    await next.outbox.wake();
    expect(next.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(server.repository.all('DocumentReference')).toHaveLength(1);
  });

  /** Notes that a step is unsafe, and then nothing any more. */
  function dyingAfter(store: VisitStore): VisitStore {
    let alive = true;
    const spoilt = Object.create(store) as VisitStore;
    spoilt.events = (visit) => store.events(visit);
    spoilt.list = () => store.list();
    spoilt.outbox = () => store.outbox();
    spoilt.saveOutbox = async (row) => {
      if (!alive) throw new Error('dead');
      alive = !row.doubtful;
      await store.saveOutbox(row);
    };
    return spoilt;
  }
});

describe('the outbox on disk', () => {
  it('survives the end of the kiosk at any time', async () => {
    globalThis.indexedDB = new IDBFactory();
    await serves();
    const open = () => openDiskStore({ locks: fakeLocks() });
    let disk = await open();
    const offline = makeWorld({ address: 'http://127.0.0.1:9/fhir' }, disk);
    for (const n of [1, 2]) await store(offline, wholeVisit, idOf(n), 'A-1');
    await store(offline, wholeVisit.slice(0, -1), idOf(3), 'A-2');
    await offline.outbox.wake();
    disk.close();
    disk = await open();
    const world = makeWorld(server, disk);
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 1, problem: expect.stringContaining('cannot be reached') });
    await world.store.append(idOf(3), [{ type: 'finished', how: 'completed' }]);
    await world.settle();
    await world.outbox.wake();
    expect(held()).toEqual(await wanted(world, [idOf(1), idOf(2), idOf(3)], everything.types));
    disk.close();
    disk = await open();
    const asked = server.asked.length;
    const again = makeWorld(server, disk);
    await again.outbox.wake();
    await again.settle();
    expect(server.asked).toHaveLength(asked);
    expect([...again.view().rows.values()].map(({ state }) => state)).toEqual(['filed', 'filed', 'filed']);
    disk.close();
  });
});
