import type { Patient } from '@medplum/fhirtypes';
import { Outbox } from '../../src/app/outbox';
import { type OutboxView, viewOf } from '../../src/fhir/outbox';
import { derive } from '../../src/records/derive';
import { MemoryStore } from '../../src/records/memory';
import type { VisitFact, VisitStore } from '../../src/records/types';
import { texts } from '../records/fixtures';
import type { FhirServer } from './server';

export const patientSystem = 'urn:oid:2.999.4.1'; // 2.999: the arc for examples (ITU-T X.660)

/** A patient of the server, by default the learner of the fixtures. */
export const register = (
  { repository }: Pick<FhirServer, 'repository'>,
  value: string,
  patient: Partial<Patient> = { name: [{ family: 'Marlow', given: ['Ines'] }] },
): Promise<Patient> =>
  repository.createResource<Patient>({
    resourceType: 'Patient',
    identifier: [{ system: patientSystem, value }],
    ...patient,
  });

/** Names of visits, a different one for each number. */
export const idOf = (n: number) => `${String(n).padStart(8, '0')}-5a0e-4c57-9b1e-0d8f5f0a1c11`;

export interface World {
  outbox: Outbox;
  store: VisitStore;
  view: () => OutboxView;
  troubles: string[];
  /** Lets time pass until nothing is planned any more, or so many waits have been. How long it was, ms. */
  settle: (waits?: number) => Promise<number>;
  /** What is planned next, ms from now; null: nothing. */
  planned: () => number | null;
  now: () => number;
}

/** An outbox whose clock moves only when told, and a store; the server is a real one. */
export function makeWorld(
  server: Pick<FhirServer, 'address'>,
  store: VisitStore = new MemoryStore(),
  kiosk = 'Harbor 4',
  ask?: typeof fetch,
): World {
  let now = Date.UTC(2026, 2, 2, 18);
  let seed = 1;
  let plan: { at: number; work: () => void } | null = null;
  let view: OutboxView | null = null;
  const troubles: string[] = [];
  const outbox = new Outbox({
    store,
    server: { address: server.address, patientSystem, kiosk, timeZone: 'UTC' },
    ...(ask ? { fetch: ask } : {}),
    read: async (visit) => {
      const record = derive(await store.events(visit), texts);
      return record.start ? { record, lesson: texts } : null;
    },
    onChange: (next) => {
      view = next;
    },
    onTrouble: (sentence) => troubles.push(sentence),
    now: () => now,
    chance: () => {
      seed = (seed * 48271) % 2147483647;
      return seed / 2147483647;
    },
    later: (ms, work) => {
      const mine = { at: now + ms, work };
      plan = mine;
      return () => {
        if (plan === mine) plan = null;
      };
    },
  });
  const world: World = {
    outbox,
    store,
    view: () => view ?? viewOf([], new Set()),
    troubles,
    planned: () => plan && plan.at - now,
    now: () => now,
    settle: async (waits = 500) => {
      const began = now;
      for (let left = waits; plan && left > 0; left -= 1) {
        now = Math.max(now, plan.at);
        plan = null;
        await outbox.wake();
      }
      return now - began;
    },
  };
  return world;
}

/** Stores a visit under an id of its own, for the patient with this number. */
export async function store(
  { store }: World,
  facts: VisitFact[],
  visit: string,
  recordNumber?: string,
): Promise<void> {
  const [first, ...rest] = facts;
  if (first?.type !== 'visit-started') throw new Error('A visit begins with its start');
  const start = { ...first.start, visit, ...(recordNumber ? { recordNumber } : {}) };
  await store.append(visit, [{ type: 'visit-started', start }, ...rest]);
}
