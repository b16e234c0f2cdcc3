import { IDBFactory } from 'fake-indexeddb';
import fc from 'fast-check';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { Reading } from '../../../src/records/database';
import { headerWithoutSign } from '../../../src/records/headers';
import { signOffOf } from '../../../src/records/reviewed';
import { headerAfter, markOf, type SealedRow } from '../../../src/records/rows';
import type { VisitEvent, VisitFact, VisitHeader } from '../../../src/records/types';
import { anyVisit } from '../arbitrary';
import { decided, logOf, signed, visitId, wholeVisit } from '../fixtures';
import { accessOf, device, meddle, rue } from './kiosk';

// Dear by design; secret.test.ts has the real one.
vi.mock('hash-wasm', () => import('./cheap'));

/** true: rows are sealed as when signatures had no mark. */
const before = vi.hoisted(() => ({ marks: false }));
vi.mock('../../../src/records/rows', async (actual) => {
  const rows = await actual<typeof import('../../../src/records/rows')>();
  const first = ['started', 'practice', 'completed', 'stopped', null];
  return {
    ...rows,
    markOf: (fact: VisitFact) => {
      const mark = rows.markOf(fact);
      return before.marks && !first.includes(mark) ? null : mark;
    },
  };
});

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  before.marks = false;
});

const addition = decided('lamp.light.shake', 'understood', 'Showed me.');
const checked: VisitFact = { type: 'patient-checked', number: '7', patient: 'p1', shown: 'Ines', yes: true };

function asReviewed(events: VisitEvent[]): VisitHeader['signed'] {
  const { signed, changedSince } = signOffOf(events);
  return signed ? (changedSince ? 'changed' : 'yes') : 'no';
}

/** As a sealed log tells it without being opened. */
const fromOutside = (events: VisitEvent[]) =>
  headerAfter(
    null,
    events.map(
      ({ visit, seq, at, fact }): SealedRow => ({
        ...{ sealed: 1, visit, seq, at, mark: markOf(fact), bytes: new Uint8Array() },
      }),
    ),
  )?.signed;

/** A device whose records are sealed, with a visit that has ended. */
async function ended() {
  const one = device();
  const store = await one.open();
  const access = await accessOf(store);
  await access.setUp(rue);
  await store.append(visitId, wholeVisit);
  const listed = async () => (await store.list())[0]?.signed;
  return { ...one, store, access, listed };
}
const withoutSign = () =>
  meddle(async (db) => {
    const { signed: _, ...header } = (await db.get('visits', visitId)) as VisitHeader;
    await db.put('visits', header, visitId);
  });

describe('how far a visit is signed', () => {
  test('is in the header what it is in the review, whatever the log holds', () => {
    fc.assert(
      fc.property(anyVisit, (facts) => {
        const log = logOf(facts);
        expect(headerAfter(null, log)?.signed).toBe(asReviewed(log));
      }),
    );
  });

  test('can be told from outside a sealed log, or is not known, and never told amiss', () => {
    let known = 0;
    fc.assert(
      fc.property(anyVisit, (facts) => {
        const log = logOf(facts);
        const told = fromOutside(log);
        if (told !== undefined) expect(told).toBe(asReviewed(log));
        if (told !== undefined && asReviewed(log) !== 'no') known++;
      }),
    );
    expect(known).toBeGreaterThan(5);
    expect(fromOutside(logOf([...wholeVisit, checked, addition, signed(), checked]))).toBe('yes');
  });

  test.each<[VisitHeader['signed'], VisitFact[]]>([
    ['no', []],
    ['no', [addition, checked]],
    ['yes', [addition, signed()]],
    ['yes', [signed(), checked]],
    ['changed', [signed(), addition]],
    ['changed', [signed(), { type: 'record-number', number: '7' }]],
    ['yes', [signed(), addition, signed()]],
  ])('is "%s" in the list after %j, with the records closed and after a lost header', async (how, facts) => {
    const { store, access, listed, open } = await ended();
    for (const fact of facts) await store.append(visitId, [fact]);
    await access.close('tested');
    expect(await listed()).toBe(how);
    store.close();
    await meddle((db) => db.delete('visits', visitId));
    expect((await (await open()).list())[0]?.signed).toBe(how);
  });

  test('is not known of a visit from before, and in the list once somebody has read it', async () => {
    before.marks = true;
    const { store, access, listed, open } = await ended();
    await store.append(visitId, [signed(), addition]);
    store.putDown();
    await access.close('tested');
    await withoutSign();
    expect(await listed()).toBe(undefined);
    await expect(store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
    expect(await listed()).toBe(undefined);
    await access.open(rue.id, rue.secret);
    before.marks = false;
    const read = await store.events(visitId);
    expect(read).toHaveLength(wholeVisit.length + 2);
    expect(await listed()).toBe('changed');
    expect(await store.setAside()).toEqual([]);
    await store.append(visitId, [signed()]);
    expect(await listed()).toBe('yes');
    store.close();
    expect((await (await open()).list())[0]?.next).toBe(wholeVisit.length + 3);
  });

  test('stays unknown while the disk does not take it, which keeps nobody from reading', async () => {
    const { store, listed } = await ended();
    await withoutSign();
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
      throw new DOMException('full', 'QuotaExceededError');
    });
    expect(await store.events(visitId)).toHaveLength(wholeVisit.length);
    expect(put).toHaveBeenCalledTimes(1);
    put.mockRestore();
    expect(await listed()).toBe(undefined);
    await store.events(visitId);
    expect(await listed()).toBe('no');
  });

  test('is not written where the log has grown since it was read', async () => {
    await ended();
    await withoutSign();
    const unsure = (read: number) =>
      meddle((db) =>
        headerWithoutSign(db.transaction(['visits', 'events']) as unknown as Reading, visitId, read),
      );
    expect(await unsure(wholeVisit.length - 1)).toBe(null);
    expect(await unsure(wholeVisit.length)).toMatchObject({ visit: visitId });
  });

  test('is not written while a visit runs', async () => {
    const one = device();
    const store = await one.open();
    await store.append(visitId, wholeVisit.slice(0, 5));
    await withoutSign();
    await store.events(visitId);
    expect((await store.list())[0]?.signed).toBe(undefined);
  });
});
