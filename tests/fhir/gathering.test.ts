import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { freshRow } from '../../src/records/rows';
import { openDiskStore } from '../../src/records/store';
import type { VisitFact, VisitStore } from '../../src/records/types';
import { anyVisit } from '../records/arbitrary';
import { wholeVisit } from '../records/fixtures';
import { fakeLocks } from '../records/locks';
import { deadLinks, held, patients, patientsOf, serverWith, wanted } from './held';
import { everything, type Fault, type FhirServer, identifiersOf, type Offers } from './server';
import { idOf, makeWorld, store, type World } from './world';

/*
 * Visits sent to a real FHIR router (@medplum/fhir-router, with its memory as the store) over HTTP, while things go
 * wrong. Whatever goes wrong: each visit is there once, whole, and nothing is forgotten.
 */

let server: FhirServer;
afterEach(() => server.close());

async function serves(offers: Partial<Offers> = {}): Promise<void> {
  server = await serverWith(offers);
}

const number = (n: number) => patients[n % patients.length]!;
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

  it('holds 15 visits once each, sent five times while one request in four goes wrong in some way', async () => {
    await serves(offer);
    const world = makeWorld(server);
    const mine = generated.slice(index * 15, index * 15 + 15);
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
    expect(held(server)).toEqual(await wanted(world, visits, types));
    expect(patientsOf(server)).toEqual(new Map(visits.map((visit, n) => [visit, number(n)])));
    expect(deadLinks(server)).toEqual([]);
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
      expect(held(server)).toEqual(await wanted(world, visits, types));
      expect(deadLinks(server)).toEqual([]);
    },
  );
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
    expect(held(server)).toEqual(await wanted(world, [idOf(1), idOf(2), idOf(3)], everything.types));
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
