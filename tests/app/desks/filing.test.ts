import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { FilingDesk, type FilingParts } from '../../../src/app/desks/filing';
import { readSite } from '../../../src/app/site';
import type { StoredVisit } from '../../../src/app/state';
import type { OutboxView } from '../../../src/fhir/outbox';
import { derive } from '../../../src/records/derive';
import { MemoryStore } from '../../../src/records/memory';
import { everything, type FhirServer, startServer } from '../../fhir/server';
import { patientSystem, register } from '../../fhir/world';
import { started, texts, visitId } from '../../records/fixtures';

let server: FhirServer;
let view: OutboxView | null = null;
beforeEach(async () => {
  server = await startServer(everything);
  await register(server, 'A-2', { name: [{ family: 'Vance', given: ['Tobin'] }], birthDate: '1950-05-04' });
});
afterEach(async () => {
  vi.unstubAllGlobals();
  await server.close();
});

/** A kiosk whose visit is held, as the record has another name. */
async function desk(room: ReturnType<FilingParts['room']>) {
  const store = new MemoryStore();
  const done: string[] = [];
  const troubles: string[] = [];
  const { append } = store;
  store.append = (visit, facts) => {
    done.push(...facts.map(({ type }) => type));
    return append.call(store, visit, facts);
  };
  vi.stubGlobal('window', new EventTarget());
  const real = fetch;
  vi.stubGlobal('fetch', (path: string, init: RequestInit) =>
    real(`${server.address}${path.slice('/fhir'.length)}`, init),
  );
  const filing = new FilingDesk({
    store: () => store,
    read: async (visit) =>
      ({ record: derive(await store.events(visit), texts), lesson: texts }) as unknown as StoredVisit,
    show: async () => void done.push('shown'),
    room: () =>
      room && {
        ...room,
        note: async (what, visit) => {
          done.push(`noted ${what} ${visit === visitId}`);
          await room.note(what, visit);
        },
      },
    onChange: (next) => {
      view = next;
    },
    onTrouble: (sentence) => troubles.push(sentence),
  });
  await store.append(visitId, [started({ recordNumber: 'A-2' }), { type: 'finished', how: 'completed' }]);
  const { site } = readSite(JSON.stringify({ recordServer: { address: '/fhir', patientSystem } }));
  await filing.open(site);
  await vi.waitFor(() => expect(view?.asked.get(visitId)?.name).toBe('Tobin Vance'));
  done.length = 0;
  return { store, filing, done, troubles, asked: view!.asked.get(visitId)! };
}

it('a yes stands in the trail before it counts, with who said so, and then the visit is filed', async () => {
  const room = { session: { id: 'rue' }, note: async () => {} };
  const { store, filing, done, asked } = await desk(room);
  await filing.answer(visitId, asked, true);
  expect(done).toEqual(['noted patient-confirmed true', 'patient-checked', 'shown']);
  expect((await store.events(visitId)).at(-1)?.fact).toEqual({
    ...{ type: 'patient-checked', number: 'A-2', patient: asked.patient, yes: true, by: 'rue' },
    shown: 'Tobin Vance, born 1950-05-04',
  });
  expect(view).toMatchObject({ waiting: 0, held: 0 });
  expect(server.repository.all('DocumentReference')).toHaveLength(1);
});

it('a no is kept as well, and nothing is filed', async () => {
  const { store, filing, done, asked } = await desk(null);
  await filing.answer(visitId, asked, false);
  expect(done).toEqual(['patient-checked', 'shown']);
  expect((await store.events(visitId)).at(-1)?.fact).toMatchObject({ yes: false });
  expect((await store.events(visitId)).at(-1)?.fact).not.toHaveProperty('by');
  expect(view).toMatchObject({ waiting: 0, held: 1 });
  expect(server.repository.all('DocumentReference')).toEqual([]);
});

it('what cannot be written into the trail is not done', async () => {
  const note = async () => {
    throw new Error('The records are closed.');
  };
  const { filing, done, troubles, asked } = await desk({ session: null, note });
  await filing.answer(visitId, asked, true);
  expect(done).toEqual(['noted patient-confirmed true']);
  expect(troubles).toEqual(['The records are closed.']);
  expect(view).toMatchObject({ held: 1 });
  expect(server.repository.all('DocumentReference')).toEqual([]);
});
