import type { DocumentReference, Observation, Task } from '@medplum/fhirtypes';
import { afterEach, describe, expect, it } from 'vitest';
import { parts } from '../../src/fhir/parts';
import { derive } from '../../src/records/derive';
import { chartNote } from '../../src/records/note';
import type { VisitFact } from '../../src/records/types';
import { decided, rue, signed, texts, wholeVisit } from '../records/fixtures';
import { everything, type Fault, type FhirServer, identifiersOf, type Offers, startServer } from './server';
import { idOf, makeWorld, patientSystem, store, type World } from './world';

/*
 * A visit that was filed and is then decided about, answered, signed and changed: the record has one of each of its
 * parts still, as they are now, whatever goes wrong on the way. Over HTTP, with a real FHIR router.
 */

let server: FhirServer;
afterEach(() => server.close());

async function serves(offers: Partial<Offers>): Promise<World> {
  server = await startServer({ ...everything, ...offers });
  await server.repository.createResource({
    resourceType: 'Patient',
    identifier: [{ system: patientSystem, value: 'A-1' }],
    name: [{ given: ['Ines'], family: 'Marlow' }],
  });
  return makeWorld(server);
}

const kept = wholeVisit.findIndex((fact) => fact.type === 'question' && fact.answer === null);
const settling: VisitFact[] = [
  decided('lamp.light.shake', 'understood', 'Showed me twice.'),
  { type: 'answered', question: kept, answer: 'No.', by: rue },
  signed(),
];
const change = decided('lamp.care.rinse', 'needs-person', 'Read it off.');

/** What the server has of each visit: `<part> <status>`; the note has to be that of the log. */
async function inRecord(world: World, visit: string): Promise<string[]> {
  const mine = Object.values(parts)
    .flatMap(({ type }) => server.repository.all(type))
    .filter((resource) => identifiersOf(resource)[0]?.value?.startsWith(`${visit}.`));
  const note = mine.find(({ resourceType }) => resourceType === 'DocumentReference') as DocumentReference;
  const { data = '' } = note.content[0]!.attachment;
  const record = derive(await world.store.events(visit), texts);
  expect(Buffer.from(data, 'base64').toString('utf8')).toBe(
    chartNote(record, texts.teaching, { timeZone: 'UTC' }),
  );
  return mine.map((resource) => {
    const { docStatus, status } = resource as DocumentReference & Observation & Task;
    return `${identifiersOf(resource)[0]?.value?.split('.')[1]} ${docStatus ?? status}`;
  });
}

const first = ['note preliminary', 'visit completed', 'answers completed', 'results preliminary'];
const stages: [string, VisitFact[], string[]][] = [
  ['filed', [], [...first, 'questions completed', 'task requested']],
  [
    'signed',
    settling,
    ['note final', 'visit completed', 'answers amended', 'results final']
      .concat('questions completed')
      .concat('task completed'),
  ],
  [
    'changed',
    [change],
    ['note preliminary', 'visit completed', 'answers amended', 'results amended']
      .concat('questions completed')
      .concat('task requested'),
  ],
  [
    'signed again',
    [signed()],
    ['note amended', 'visit completed', 'answers amended', 'results amended']
      .concat('questions completed')
      .concat('task requested'),
  ],
];

const onlyPost = { updateCreate: false, conditionalUpdate: false };
const noBundles = { transaction: false };
const alone = { ...noBundles, types: ['DocumentReference'] };
const offers: Record<string, Partial<Offers>> = {
  'bundles, ids of ours': {},
  'bundles, PUT with a condition': { updateCreate: false },
  'bundles, POST with a condition, PUT to what is there': { ...onlyPost, update: true },
  'one by one, ids of ours': noBundles,
  'one by one, PUT with a condition': { ...noBundles, updateCreate: false },
  'one by one, POST with a condition, PUT to what is there': { ...noBundles, ...onlyPost, update: true },
  'one by one, looking first, PUT to what is there': {
    ...{ ...noBundles, ...onlyPost, update: true, conditionalCreate: false },
  },
  'the note alone': { ...alone, ...onlyPost, update: true },
};
/** All of them are met while visits are gathered; here one of each kind: refused, done without an answer, and half. */
const faults: Fault[] = [
  { at: 'before', status: 503 },
  { at: 'after', how: 'lost' },
  { at: 'after', how: 'half' },
];
/** What a server that takes the note alone has of it. */
const has = (all: string[], offer: Partial<Offers>) => (offer.types ? all.slice(0, 1) : all);

describe.each(Object.entries(offers))('a server that takes %s', (_name, offer) => {
  it('has a visit once, as it stands, at each stage of its review', async () => {
    const world = await serves(offer);
    await store(world, wholeVisit, idOf(1), 'A-1');
    for (const [stage, facts, expected] of stages) {
      if (facts.length > 0) await world.store.append(idOf(1), facts);
      await world.outbox.wake();
      expect(world.view(), stage).toMatchObject({ waiting: 0, held: 0, problem: '' });
      expect(await inRecord(world, idOf(1)), stage).toEqual(has(expected, offer));
    }
  });

  it('has it so whichever request goes wrong in whichever way', async () => {
    const world = await serves(offer);
    let n = 0;
    for (const fault of faults) {
      // The first visit meets it at the first request after it was signed, the second at the second ...
      for (let nth = 0; ; nth += 1) {
        const visit = idOf(n++);
        await store(world, wholeVisit, visit, 'A-1');
        await world.outbox.wake();
        const from = server.asked.length;
        let met = false;
        server.faults = (_asked, at) => {
          if (met || at !== from + nth) return null;
          met = true;
          return fault;
        };
        await world.store.append(visit, settling);
        await world.outbox.wake();
        if (met) expect(world.view()).toMatchObject({ waiting: 1, held: 0 });
        await world.settle();
        server.faults = () => null;
        expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
        expect(await inRecord(world, visit)).toEqual(has(stages[1]![2], offer));
        if (!met) break;
      }
    }
    expect(n).toBeGreaterThan(faults.length);
  });

  it('has what was added while the visit was on its way', async () => {
    const world = await serves(offer);
    for (let nth = 0; ; nth += 1) {
      const visit = idOf(nth);
      const from = server.asked.length;
      let added: Promise<unknown> | null = null;
      server.faults = (_asked, at) => {
        if (at === from + nth) added = world.store.append(visit, settling);
        return null;
      };
      await store(world, wholeVisit, visit, 'A-1');
      await world.outbox.wake();
      await world.settle();
      if (!added) break;
      await added;
      await world.outbox.wake();
      expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
      expect(await inRecord(world, visit)).toEqual(has(stages[1]![2], offer));
    }
  });

  it('has all of it as it was signed, when it was signed between two tries', async () => {
    const world = await serves(offer);
    for (let nth = 0; ; nth += 1) {
      const visit = idOf(nth);
      const from = server.asked.length;
      let met = false;
      server.faults = (_asked, at) => {
        if (at !== from + nth) return null;
        met = true;
        return { at: 'before', status: 503 };
      };
      await store(world, wholeVisit, visit, 'A-1');
      await world.outbox.wake();
      if (!met) break;
      await world.store.append(visit, settling);
      await world.settle();
      expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
      expect(await inRecord(world, visit)).toEqual(has(stages[1]![2], offer));
    }
  });
});

describe.each<[string, Partial<Offers>]>([
  ['bundles, POST with a condition', onlyPost],
  ['one by one, POST with a condition', { ...noBundles, ...onlyPost }],
  ['one by one, looking first', { ...noBundles, ...onlyPost, conditionalCreate: false }],
  ['the note alone, without a search', { ...alone, ...onlyPost, conditionalCreate: false, search: false }],
])('a server that changes nothing it has, and takes %s', (_name, offer) => {
  it('is sent nothing twice: staff are told to copy the note, and say when they have', async () => {
    const world = await serves(offer);
    await store(world, wholeVisit, idOf(1), 'A-1');
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
    await world.store.append(idOf(1), settling);
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    expect(world.view().problem).toContain('“It is in the chart”');
    await world.outbox.tryAgain();
    expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
    for (const { type } of Object.values(parts)) {
      expect(server.repository.all(type).length).toBeLessThanOrEqual(1);
    }
    const [note] = server.repository.all('DocumentReference') as DocumentReference[];
    expect(note?.docStatus).toBe('preliminary');
    await world.outbox.settle(idOf(1));
    expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
    expect(world.view().rows.get(idOf(1))).toMatchObject({
      ...{ state: 'filed', problem: expect.stringContaining('by hand') },
    });
    const asked = server.asked.length;
    await world.outbox.wake();
    expect(server.asked).toHaveLength(asked);
  });

  it('gets a visit that was signed before it could be filed, once', async () => {
    const world = await serves(offer);
    await store(world, [...wholeVisit, ...settling], idOf(1), 'A-1');
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
    const [note] = server.repository.all('DocumentReference') as DocumentReference[];
    expect(note?.docStatus).toBe('final');
  });
});

describe('a server that offers no safe way to send twice', () => {
  it.each([0, 1])(
    'gets no second note when a visit is signed at request %i and an answer is lost',
    async (nth) => {
      const world = await serves({ ...alone, ...onlyPost, conditionalCreate: false, search: false });
      await store(world, wholeVisit, idOf(1), 'A-1');
      let added: Promise<unknown> | null = null;
      server.faults = ({ method }, at) => {
        if (at === nth) added = world.store.append(idOf(1), settling);
        return method === 'POST' ? { at: 'after', how: 'lost' } : null;
      };
      await world.outbox.wake();
      await added;
      server.faults = () => null;
      await world.settle();
      expect(world.view()).toMatchObject({ waiting: 0, held: 1 });
      expect(world.view().problem).toContain('Look into the chart');
      expect(server.repository.all('DocumentReference')).toHaveLength(1);
    },
  );
});
