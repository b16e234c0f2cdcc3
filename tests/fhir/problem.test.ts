import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, expect, it } from 'vitest';
import { wholeVisit } from '../records/fixtures';
import { held, patientsOf, serverWith, wanted } from './held';
import { everything, type FhirServer, type Offers } from './server';
import { idOf, makeWorld, register, store } from './world';

/* What staff see and do when a server does not take a visit, over HTTP with a real FHIR router. */

let server: FhirServer;
afterEach(() => server.close());

async function serves(offers: Partial<Offers> = {}): Promise<void> {
  server = await serverWith(offers);
}

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
  expect(patientsOf(server)).toEqual(
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
  expect(held(server)).toEqual(await wanted(world, [idOf(1)], everything.types));
});

it('two patients with the number: nothing is filed', async () => {
  await serves();
  await register(server, 'A-1');
  const world = makeWorld(server);
  await store(world, wholeVisit, idOf(1), 'A-1');
  await world.outbox.wake();
  expect(world.view().problem).toContain('more than one patient');
  expect(held(server)).toEqual([]);
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
  expect(patientsOf(server).size).toBe(2);
  server.faults = () => null;
  await world.outbox.tryAgain();
  expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
  expect(patientsOf(server).size).toBe(3);
});

it('one that brings the server down every time does not keep the others from their turn', async () => {
  await serves();
  const world = makeWorld(server);
  for (const n of [1, 2, 3]) await store(world, wholeVisit, idOf(n), 'A-1');
  server.faults = ({ body }) =>
    JSON.stringify(body)?.includes(`${idOf(1)}.note`) ? { at: 'before', status: 500 } : null;
  await world.outbox.wake();
  await world.settle(3);
  expect([...patientsOf(server).keys()].sort()).toEqual([idOf(2), idOf(3)]);
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
  expect(patientsOf(server).size).toBe(3);
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
  expect(held(server)).toEqual(await wanted(world, [idOf(1)], everything.types));
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
