import type { DocumentReference } from '@medplum/fhirtypes';
import { afterEach, expect, it } from 'vitest';
import { wholeVisit } from '../records/fixtures';
import { held, patients, serverWith, wanted } from './held';
import { everything, type FhirServer, identifiersOf, type Offers } from './server';
import { idOf, makeWorld, store } from './world';

/* What is sent where, over HTTP to a real FHIR router. */

let server: FhirServer;
afterEach(() => server.close());

async function serves(offers: Partial<Offers> = {}): Promise<void> {
  server = await serverWith(offers);
}

const requests = () =>
  server.asked.map(({ method, url }) => `${method} ${url.replace(/\/[0-9a-f-]{36}$/, '/id').split('?')[0]}`);

it('is one bundle, where a server takes bundles, after it was asked who the patient is', async () => {
  await serves();
  const world = makeWorld(server);
  await store(world, wholeVisit, idOf(1), 'A-2');
  await world.outbox.wake();
  expect(requests()).toEqual(['GET /Patient', 'PUT /Device/id', 'POST /']);
  const [patient] = server.repository.all('Patient').filter((one) => identifiersOf(one)[0]?.value === 'A-2');
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
  expect(held(server)).toEqual(await wanted(world, [idOf(1)], everything.types));
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
  expect(held(server)).toEqual(await wanted(world, [idOf(2)], everything.types));
});

it('never creates a patient', async () => {
  await serves();
  const world = makeWorld(server);
  await store(world, wholeVisit, idOf(1), 'nobody has it');
  await world.outbox.wake();
  expect(server.repository.all('Patient')).toHaveLength(patients.length);
  expect(held(server)).toEqual([]);
});
