import type { DocumentReference } from '@medplum/fhirtypes';
import { afterEach, expect, it } from 'vitest';
import { Client } from '../../src/fhir/client';
import { type FiledNote, FiledNotes } from '../../src/fhir/filed';
import { MemoryStore } from '../../src/records/memory';
import type { VisitFact } from '../../src/records/types';
import { wholeVisit } from '../records/fixtures';
import { everything, type Fault, type FhirServer, identifiersOf, type Offers, startServer } from './server';
import { visits as kinds } from './visits';
import { makeWorld, patientSystem, register, store, type World } from './world';

/* Many kiosks on one server, and a desk that reads what they have filed. */

let server: FhirServer;
afterEach(() => server.close());

const day = 24 * 60 * 60_000;
const patients = ['A-1', 'A-2', 'A-3', 'A-4'];
/** Kinds of visits of a learner who is the patient, by the name that the server has. */
const bySelf = Object.values(kinds).filter(
  ([first]) =>
    first?.type === 'visit-started' &&
    first.start.learner.role === 'patient' &&
    first.start.learner.name === 'Ines Marlow' &&
    !first.start.practice,
);

async function serves(offers: Partial<Offers> = {}): Promise<void> {
  server = await startServer({ ...everything, ...offers });
  for (const value of patients) await register(server, value);
}

const idOf = (kiosk: number, n: number) =>
  `${String(kiosk).padStart(4, '0')}${String(n).padStart(4, '0')}-5a0e-4c57-9b1e-0d8f5f0a1c11`;
const finished = (facts: VisitFact[]): VisitFact[] => [
  ...facts.filter(({ type }) => type !== 'finished'),
  { type: 'finished', how: 'completed' },
];

interface Kiosk extends World {
  name: string;
  clock: { now: number };
  ids: string[];
  teach: (count: number) => Promise<void>;
}

/** A kiosk of its own, whose visits end a minute apart by its own clock. */
function kiosk(number: number, address = server.address): Kiosk {
  const clock = { now: Date.UTC(2026, 2, 2, 8, number) };
  const name = `harbor-${number}`;
  const world = makeWorld({ address }, new MemoryStore(() => new Date(clock.now)), name);
  const ids: string[] = [];
  return {
    ...world,
    name,
    clock,
    ids,
    teach: async (count) => {
      for (let n = 0; n < count; n += 1) {
        const id = idOf(number, ids.length);
        const facts = bySelf[(number + ids.length) % bySelf.length] ?? wholeVisit;
        clock.now += 10 * 60_000;
        await store(world, finished(facts), id, patients[ids.length % patients.length]!);
        ids.push(id);
      }
    },
  };
}

const notesThere = () =>
  (server.repository.all('DocumentReference') as DocumentReference[])
    .map((note) => identifiersOf(note)[0]?.value ?? '')
    .sort();
const wanted = (kiosks: Kiosk[]) => kiosks.flatMap(({ ids }) => ids.map((id) => `${id}.note`)).sort();

/** What the desk finds, page by page. */
async function desk(): Promise<FiledNote[]> {
  const notes = new FiledNotes(new Client({ address: server.address, fetch, now: Date.now }), patientSystem);
  const found: FiledNote[] = [];
  for (;;) {
    const page = await notes.more();
    found.push(...page.notes);
    if (page.done) return found;
  }
}

const faults: Fault[] = [
  { at: 'before', status: 503 },
  { at: 'before', status: 412 },
  { at: 'before', status: 429, headers: { 'Retry-After': '3' } },
  { at: 'after', how: 'lost' },
  { at: 'after', how: 'half' },
];

it.each<[string, Partial<Offers>]>([
  ['bundles', {}],
  [
    'one thing at a time, with a condition',
    { transaction: false, updateCreate: false, conditionalUpdate: false },
  ],
  [
    'one thing at a time, looked for first',
    { transaction: false, updateCreate: false, conditionalUpdate: false, conditionalCreate: false },
  ],
])(
  'five kiosks file at the same time with a server that takes %s and fails at every fourth request: all is there once, and the desk finds it',
  async (_what, offers) => {
    await serves(offers);
    const kiosks = [1, 2, 3, 4, 5].map((number) => kiosk(number));
    for (const one of kiosks) await one.teach(6);
    let count = 0;
    server.faults = () => {
      count += 1;
      return count % 4 === 0 ? faults[(count / 4) % faults.length]! : null;
    };
    await Promise.all(
      kiosks.map(async ({ outbox, settle }) => {
        await outbox.wake();
        await settle();
      }),
    );
    for (const { view, troubles } of kiosks) {
      expect(view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
      expect(troubles).toEqual([]);
    }
    server.faults = () => null;
    expect(notesThere()).toEqual(wanted(kiosks));
    expect(server.repository.all('Device')).toHaveLength(kiosks.length);
    expect(server.repository.all('Procedure')).toHaveLength(30);

    const found = await desk();
    expect(found.map(({ visit }) => `${visit}.note`).sort()).toEqual(wanted(kiosks));
    for (const { name, ids } of kiosks) {
      const mine = found.filter((note) => note.kiosk === name);
      expect(mine.map(({ visit }) => visit).sort()).toEqual([...ids].sort());
    }
    expect(new Set(found.map(({ patient }) => patient))).toEqual(new Set(['Ines Marlow']));
    const times = found.map(({ at }) => Date.parse(at));
    expect(times).toEqual([...times].sort((a, b) => b - a));
  },
);

it('a kiosk that was offline for a day catches up by itself; its visits stand at their own time, not that of filing', async () => {
  await serves();
  const [one, other] = [kiosk(1), kiosk(2)];
  const cable = { out: true };
  server.faults = () => null;
  const offline = kioskBehind(cable, other);
  await one.teach(3);
  await offline.teach(4);
  await Promise.all([one.outbox.wake(), offline.outbox.wake()]);
  await offline.settle(20);
  expect(offline.view()).toMatchObject({ waiting: 4, held: 0 });
  expect(offline.view().problem).toContain('cannot be reached');
  expect(notesThere()).toEqual(wanted([one]));

  // A day goes by; it never waits longer than a quarter of an hour.
  const before = offline.now();
  while (offline.now() - before < day) {
    expect(offline.planned()).toBeLessThanOrEqual(15 * 60_000);
    await offline.settle(1);
  }
  one.clock.now += day;
  await one.teach(2);
  await one.outbox.wake();
  cable.out = false;
  await offline.settle();
  expect(offline.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
  expect(notesThere()).toEqual(wanted([one, offline]));
  const found = await desk();
  expect(found.slice(0, 2).map(({ kiosk }) => kiosk)).toEqual(['harbor-1', 'harbor-1']);
  expect(found.slice(2).map(({ kiosk }) => kiosk)).toContain('harbor-2');
});

/** The same kiosk, with a cable that can be out. */
function kioskBehind(cable: { out: boolean }, given: Kiosk): Kiosk {
  const { store: kept, name } = given;
  const world = makeWorld(server, kept, name, (input, init) =>
    cable.out ? Promise.reject(new TypeError('Failed to fetch')) : fetch(input, init),
  );
  return { ...given, ...world };
}

it('the same visit in two kiosks, as after a backup was restored on another one, is there once', async () => {
  await serves();
  const [one, other] = [kiosk(1), kiosk(2)];
  await one.teach(2);
  for (const id of one.ids) {
    const events = await one.store.events(id);
    await store(
      other,
      events.map(({ fact }) => fact),
      id,
    );
  }
  await Promise.all([one.outbox.wake(), other.outbox.wake()]);
  await Promise.all([one.settle(), other.settle()]);
  expect(notesThere()).toEqual(wanted([one]));
});

it('a patient of whom one kiosk does not know the name is asked about there, and nowhere else', async () => {
  await serves();
  await register(server, 'B-1', { name: [{ family: 'Vance', given: ['Tobin'] }] });
  const [one, other] = [kiosk(1), kiosk(2)];
  await one.teach(1);
  await store(other, wholeVisit, idOf(2, 0), 'B-1');
  await Promise.all([one.outbox.wake(), other.outbox.wake()]);
  expect(one.view()).toMatchObject({ waiting: 0, held: 0 });
  expect(other.view()).toMatchObject({ waiting: 0, held: 1 });
  expect((await desk()).map(({ visit }) => visit)).toEqual(one.ids);
});
