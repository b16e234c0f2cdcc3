import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { wholeVisit } from '../records/fixtures';
import { allThatLies, rue, sealedDevice } from '../records/seal/kiosk';
import { everything, type FhirServer, startServer } from './server';
import { makeWorld, register, store } from './world';

let server: FhirServer;
beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  server = await startServer(everything);
  await register(server, 'A-19');
});
afterEach(() => server.close());

const visit = '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11';

test('a sealed visit is filed as it ends, and the outbox tells whoever takes the device away nobody', async () => {
  const { store: disk } = await sealedDevice();
  const world = makeWorld(server, disk);
  await store(world, wholeVisit, visit, 'A-19');
  const lies = await allThatLies();
  expect(lies).not.toContain('A-19');
  await world.outbox.wake();
  expect(world.view().rows.get(visit)?.state).toBe('filed');
  expect(server.repository.all('Procedure')).toHaveLength(1);
  expect(await allThatLies()).not.toContain('A-19');
});

test('one that could not be filed then waits, without a try, until staff open the records', async () => {
  const { store: disk, access } = await sealedDevice();
  const world = makeWorld(server, disk);
  await store(world, wholeVisit, visit, 'A-19');
  server.faults = () => ({ at: 'before', status: 503 });
  await world.outbox.wake();
  disk.putDown();
  server.faults = () => null;
  const asked = server.asked.length;
  await world.settle();
  expect(server.asked).toHaveLength(asked);
  expect(world.view()).toMatchObject({ waiting: 1, sealed: 1, held: 0 });
  expect(world.planned()).toBeNull();
  await access.open(rue.id, rue.secret);
  await world.outbox.opened();
  expect(world.view()).toMatchObject({ waiting: 0, sealed: 0, held: 0 });
  expect(server.repository.all('Procedure')).toHaveLength(1);
});

test('a record number that is entered after the end does not bring the key of the visit back', async () => {
  const { store: disk, access, slot } = await sealedDevice();
  const world = makeWorld(server, disk);
  await store(world, wholeVisit, visit, 'A-91');
  disk.putDown();
  await access.open(rue.id, rue.secret);
  await world.outbox.wake();
  expect(world.view()).toMatchObject({ held: 1 });
  await world.outbox.tryAgain(visit, () => disk.append(visit, [{ type: 'record-number', number: 'A-19' }]));
  expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
  expect(slot.held).toBeNull();
  await access.close('tested');
  await expect(disk.events(visit)).rejects.toMatchObject({ code: 'sealed' });
});

test('what is signed after the end is sealed, and filed in place of what was filed before', async () => {
  const { store: disk, access, slot } = await sealedDevice();
  const world = makeWorld(server, disk);
  await store(world, wholeVisit, visit, 'A-19');
  await world.outbox.wake();
  disk.putDown();
  await access.open(rue.id, rue.secret);
  const by = { name: 'R. Quillon', id: rue.id };
  const reason = 'Showed me twice.';
  await disk.append(visit, [
    { type: 'decided', concept: 'lamp.light.shake', decision: 'understood', reason, by },
    { type: 'signed', by },
  ]);
  expect(await allThatLies()).not.toContain(reason);
  expect((await disk.outbox())[0]).toMatchObject({ state: 'waiting', changes: 1 });
  await world.outbox.wake();
  expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
  expect(server.repository.all('DocumentReference')).toMatchObject([{ docStatus: 'final' }]);
  expect(slot.held).toBeNull();
});

test('a sealed visit under the number of somebody else is held, and what lies on the device names neither', async () => {
  await register(server, 'A-91', { name: [{ family: 'Vance', given: ['Tobin'] }], birthDate: '1950-05-04' });
  const { store: disk, access } = await sealedDevice();
  const world = makeWorld(server, disk);
  await store(world, wholeVisit, visit, 'A-91');
  await world.outbox.wake();
  const asked = world.view().asked.get(visit);
  expect(asked).toMatchObject({ number: 'A-91', name: 'Tobin Vance', born: '1950-05-04' });
  expect(server.repository.all('DocumentReference')).toEqual([]);
  disk.putDown();
  await access.open(rue.id, rue.secret);
  await world.outbox.tryAgain(visit, () =>
    disk.append(visit, [
      { type: 'patient-checked', number: 'A-91', patient: asked!.patient, shown: 'Tobin Vance', yes: true },
    ]),
  );
  expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
  expect(server.repository.all('DocumentReference')).toHaveLength(1);
  const lies = await allThatLies();
  for (const secret of ['A-91', 'Vance', '1950-05-04', asked!.patient]) expect(lies).not.toContain(secret);
});
