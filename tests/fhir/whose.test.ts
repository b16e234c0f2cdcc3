import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { foundPatient, shown, whose } from '../../src/fhir/whose';
import { derive } from '../../src/records/derive';
import { openDiskStore } from '../../src/records/store';
import type { VisitFact } from '../../src/records/types';
import { logOf, started, texts, wholeVisit } from '../records/fixtures';
import { fakeLocks } from '../records/locks';
import { everything, type FhirServer, startServer } from './server';
import { makeWorld, register, store, type World } from './world';

/* A mistyped record number that fits somebody else: nothing may reach their record unseen. */

const visit = '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11';
const other = '8d1b5a3e-0c4b-4f0e-8a57-6a4f3f1d2b22';

describe('whose visit it is', () => {
  const found = foundPatient('Patient/1', {
    name: [{ family: 'Marlow', given: ['Ines'] }],
    birthDate: '1950-05-04',
  });
  const somebody = foundPatient('Patient/2', { name: [{ family: 'Vance', given: ['Tobin'] }] });
  const record = (facts: VisitFact[]) => derive(logOf(facts), texts);
  const caregiver = started({ learner: { role: 'caregiver', name: 'Ines Marlow' } });
  const check = (number: string, patient: string, yes: boolean): VisitFact => ({
    ...{ type: 'patient-checked', number, patient, shown: 'x', yes },
  });

  it('is the patient’s where the learner is the patient and the names agree', () => {
    expect(whose(record([started()]), 'A-1', found)).toBe('theirs');
    expect(whose(record([started()]), 'A-1', somebody)).toBe('ask');
  });

  it('is asked for a caregiver, whatever their name', () => {
    expect(whose(record([caregiver]), 'A-1', found)).toBe('ask');
  });

  it('is what staff said of this number and this patient, and of no others', () => {
    const said = record([caregiver, check('A-1', 'Patient/1', true)]);
    expect(whose(said, 'A-1', found)).toBe('theirs');
    expect(whose(said, 'A-2', found)).toBe('ask');
    expect(whose(said, 'A-1', somebody)).toBe('ask');
  });

  it('is what staff said last, and a no counts more than a name that agrees', () => {
    expect(whose(record([started(), check('A-1', 'Patient/1', false)]), 'A-1', found)).toBe('not-theirs');
    const both = [started(), check('A-1', 'Patient/2', false), check('A-1', 'Patient/2', true)];
    expect(whose(record(both), 'A-1', somebody)).toBe('theirs');
  });

  it('is asked where the log has lost its beginning', () => {
    expect(whose(derive(logOf(wholeVisit).slice(1), texts), 'A-1', found)).toBe('ask');
  });

  it('is asked where a server gives no names, or none that can be read', () => {
    for (const name of [undefined, null, [], 'Ines Marlow', [null], [{ family: 7, given: 'Ines' }]]) {
      expect(whose(record([started()]), 'A-1', foundPatient('Patient/1', { name }))).toBe('ask');
    }
  });

  it('shows a name as it is called', () => {
    expect(shown({ given: ['Ines', 'Carla'], family: 'Marlow', suffix: ['Jr'] })).toBe(
      'Ines Carla Marlow Jr',
    );
    expect(shown({ text: ' Ines\n Marlow ', family: 'x' })).toBe('Ines Marlow');
    expect(shown({})).toBe('');
  });
});

describe('filing', () => {
  let server: FhirServer;
  beforeEach(async () => {
    server = await startServer(everything);
    await register(server, 'A-1');
    await register(server, 'A-2', { name: [{ family: 'Vance', given: ['Tobin'] }], birthDate: '1950-05-04' });
  });
  afterEach(() => server.close());

  /** What reached the server besides questions. */
  const written = () =>
    server.asked.filter(({ method }) => method !== 'GET').map(({ method, url }) => method + url);
  const subjects = () =>
    server.repository
      .all('DocumentReference')
      .map((note) => JSON.stringify((note as { subject?: object }).subject));
  const held = (world: World, id = visit) => world.view().asked.get(id);

  /** A visit under a number of somebody else, and what staff said to the patient who was found. */
  const answered = async (yes: boolean) => {
    const world = makeWorld(server);
    await store(world, wholeVisit, visit, 'A-2');
    await world.outbox.wake();
    const { number, patient } = held(world)!;
    await world.outbox.tryAgain(visit, () =>
      world.store.append(visit, [{ type: 'patient-checked', number, patient, shown: 'Tobin Vance', yes }]),
    );
    return { world, patient };
  };

  it('sends nothing at all while the name is another one, and asks', async () => {
    const world = makeWorld(server);
    await store(world, wholeVisit, visit, 'A-2');
    await world.outbox.wake();
    expect(written()).toEqual([]);
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(held(world)).toMatchObject({ number: 'A-2', name: 'Tobin Vance', born: '1950-05-04' });
    // Whatever is stored beside sealed visits names nobody.
    const stored = JSON.stringify(await world.store.outbox());
    expect(stored).not.toMatch(/Vance|1950|A-2/);
    expect(world.view().problem).not.toMatch(/Vance|1950|A-2/);
    expect(world.planned()).toBeNull();
  });

  it('goes on after a yes, with that patient', async () => {
    const { world, patient } = await answered(true);
    expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
    expect(held(world)).toBeUndefined();
    expect(subjects()).toEqual([JSON.stringify({ reference: patient })]);
  });

  it('stays held after a no, does not ask again, and goes to the right one once the number is put right', async () => {
    const { world, patient } = await answered(false);
    expect(written()).toEqual([]);
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(world.view().problem).toContain('belongs to somebody else');
    expect(held(world)).toBeUndefined();
    await world.outbox.tryAgain(visit, () =>
      world.store.append(visit, [{ type: 'record-number', number: 'A-1' }]),
    );
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
    expect(subjects()).not.toEqual([JSON.stringify({ reference: patient })]);
    expect(subjects()).toHaveLength(1);
  });

  it('asks anew when the number that was said yes to belongs to another patient meanwhile', async () => {
    const world = makeWorld(server);
    await store(world, wholeVisit, visit, 'A-2');
    await world.store.append(visit, [
      {
        type: 'patient-checked',
        number: 'A-2',
        patient: 'Patient/of-before',
        shown: 'Tobin Vance',
        yes: true,
      },
    ]);
    await world.outbox.wake();
    expect(written()).toEqual([]);
    expect(held(world)?.name).toBe('Tobin Vance');
  });

  it('holds one visit and files the others', async () => {
    const world = makeWorld(server);
    await store(world, wholeVisit, visit, 'A-2');
    await store(world, wholeVisit, other, 'A-1');
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(world.view().rows.get(other)?.state).toBe('filed');
  });

  it.each([
    { transaction: false },
    { transaction: false, updateCreate: false, conditionalUpdate: false, conditionalCreate: false },
    { transaction: false, search: false, types: ['DocumentReference'] },
  ])('asks before anything else on every kind of server: %o', async (offers) => {
    server.offers = { ...everything, ...offers };
    const world = makeWorld(server);
    await store(world, wholeVisit, visit, 'A-2');
    await world.outbox.wake();
    expect(written()).toEqual([]);
    expect(world.view()).toMatchObject({ held: 1 });
  });

  describe('after a restart', () => {
    const disk = () => openDiskStore({ locks: fakeLocks() });
    beforeEach(() => {
      globalThis.indexedDB = new IDBFactory();
    });

    it('a visit is still held, and whom the server found is looked up again when its review is opened', async () => {
      const first = await disk();
      const before = makeWorld(server, first);
      await store(before, wholeVisit, visit, 'A-2');
      await before.outbox.wake();
      first.close();
      const second = await disk();
      const after = makeWorld(server, second);
      await after.outbox.wake();
      expect(after.view()).toMatchObject({ waiting: 0, held: 1 });
      expect(held(after)).toBeUndefined();
      await after.outbox.askAgain(visit);
      expect(held(after)?.name).toBe('Tobin Vance');
      expect(after.view()).toMatchObject({ waiting: 0, held: 1 });
      expect(written()).toEqual([]);
      second.close();
    });

    it('what staff said still counts', async () => {
      const first = await disk();
      const before = makeWorld(server, first);
      await store(before, wholeVisit, visit, 'A-2');
      await before.outbox.wake();
      const { number, patient } = held(before)!;
      await first.append(visit, [
        { type: 'patient-checked', number, patient, shown: 'Tobin Vance', yes: true },
      ]);
      first.close();
      const second = await disk();
      const after = makeWorld(server, second);
      await after.outbox.askAgain(visit);
      expect(after.view()).toMatchObject({ waiting: 0, held: 0 });
      expect(subjects()).toEqual([JSON.stringify({ reference: patient })]);
      second.close();
    });

    it('a server that is away when the review is opened is asked later, and nothing is filed unasked', async () => {
      const first = await disk();
      const before = makeWorld(server, first);
      await store(before, wholeVisit, visit, 'A-2');
      await before.outbox.wake();
      const after = makeWorld(server, first);
      server.faults = () => ({ at: 'before', status: 503 });
      await after.outbox.askAgain(visit);
      expect(after.view()).toMatchObject({ waiting: 1, held: 0 });
      server.faults = () => null;
      await after.settle();
      expect(after.view()).toMatchObject({ waiting: 0, held: 1 });
      expect(held(after)?.name).toBe('Tobin Vance');
      expect(written()).toEqual([]);
      first.close();
    });
  });

  it('a yes leaves the doubt whether a note has reached the chart', async () => {
    const world = makeWorld(server);
    await store(world, wholeVisit, visit, 'A-2');
    await world.outbox.wake();
    const [row] = await world.store.outbox();
    await world.store.saveOutbox({ ...row!, doubtful: true });
    const { number, patient } = held(world)!;
    server.offers = {
      ...{ transaction: false, search: false, types: ['DocumentReference'] },
      ...{ updateCreate: false, conditionalUpdate: false, conditionalCreate: false },
    };
    await world.outbox.tryAgain(visit, () =>
      world.store.append(visit, [
        { type: 'patient-checked', number, patient, shown: 'Tobin Vance', yes: true },
      ]),
    );
    expect(world.view().problem).toContain('Look into the chart');
    expect(written()).toEqual([]);
  });
});
