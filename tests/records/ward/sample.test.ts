import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, describe, expect, test } from 'vitest';
import { readModule, readTeaching } from '../../../phrasebanks/read';
import { derive } from '../../../src/records/derive';
import { inventedId, inventedWard, isInvented } from '../../../src/records/invented';
import { MemoryStore } from '../../../src/records/memory';
import { visitEventSchema } from '../../../src/records/schema';
import type { VisitEvent, VisitStore } from '../../../src/records/types';
import type { VisitDigest } from '../../../src/records/ward/digest';
import { digestOf } from '../../../src/records/ward/digest';
import { pointFigures } from '../../../src/records/ward/figures';
import { inventWard } from '../../../src/records/ward/invent';
import { started, startOf, visitId, wholeVisit } from '../fixtures';
import { accessOf, allThatLies, device, rue } from '../seal/kiosk';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const texts = ['inhaler-spacer', 'nebulizer'].map((module) => ({
  module: readModule(module),
  teaching: readTeaching(module, 'en'),
}));
const now = new Date(2026, 5, 30, 12);
const ward = (visits: number, seed = 7): VisitEvent[][] => [
  ...inventWard({ visits, seed, now, texts, particulars: startOf().particulars }),
];
const textOf = (log: VisitEvent[]) => texts.find(({ module }) => module.id === startIn(log).module)!;
function startIn([first]: VisitEvent[]) {
  if (first?.fact.type !== 'visit-started') throw new Error('no start');
  return first.fact.start;
}

describe('an invented ward', () => {
  const logs = ward(300);

  test('fits the schema of the log, event by event, in the order of time', () => {
    expect(logs).toHaveLength(300);
    for (const log of logs) {
      for (const [index, event] of log.entries()) {
        expect(visitEventSchema.parse(event)).toMatchObject({ seq: index, visit: log[0]!.visit });
        expect(event.at >= (log[index - 1]?.at ?? '')).toBe(true);
      }
      expect(log.at(-1)?.fact.type).toBe('finished');
      expect(log.at(-1)!.at < now.toISOString()).toBe(true);
    }
    const begins = logs.map((log) => log[0]!.at);
    expect([...begins].sort()).toEqual(begins);
  });

  test('says of itself that it is invented, in each id and each name', () => {
    for (const log of logs) {
      expect(isInvented(log[0]!.visit)).toBe(true);
      expect(startIn(log)).toMatchObject({ ward: inventedWard, staff: 'Invented educator', practice: false });
      expect(startIn(log).learner.name).toMatch(/^Invented learner \d+$/);
    }
    expect(new Set(logs.map((log) => log[0]!.visit)).size).toBe(300);
    // A random id of version 4 is none of them.
    for (let index = 0; index < 1000; index++) expect(isInvented(crypto.randomUUID())).toBe(false);
  });

  test('is the same for the same seed, and another one for another', () => {
    expect(ward(40)).toEqual(ward(40));
    expect(ward(40, 8)).not.toEqual(ward(40));
  });

  test('has something of all that is counted', () => {
    const digests = logs.map(
      (log) =>
        digestOf(
          { visit: log[0]!.visit, next: log.length, startedAt: log[0]!.at } as never,
          derive(log, textOf(log)),
        ) as VisitDigest,
    );
    expect(digests.filter(({ recheck }) => recheck).length).toBeGreaterThan(5);
    const outcomes = new Set(digests.flatMap(({ points }) => points.map(({ outcome }) => outcome)));
    expect(outcomes).toEqual(
      new Set(['first-try', 'after-reteach', 'needs-person', 'not-said', 'not-asked']),
    );
    const mine = digests.filter(({ module, recheck }) => module === 'nebulizer' && !recheck);
    const concepts = texts[1]!.module.steps.flatMap((step) => step.concepts.map(({ id }) => id));
    const shares = pointFigures(mine, concepts).map(({ missed: { k, n } }) => k / n);
    expect(Math.max(...shares)).toBeGreaterThan(0.3);
    expect(Math.min(...shares)).toBeLessThan(0.15);
    // A re-check asks only what it is about.
    for (const { recheck, points } of digests) if (recheck) expect(points.length).toBeLessThan(12);
  });
});

const opened = async (kind: 'sealed' | 'open' | 'memory'): Promise<VisitStore> => {
  if (kind === 'memory') return new MemoryStore();
  const store = await device().open();
  if (kind === 'sealed') await (await accessOf(store)).setUp(rue);
  return store;
};

describe.each(['sealed', 'open', 'memory'] as const)('in a store that is %s, it', (kind) => {
  test('comes in whole, with its own times, and goes out without a trace', async () => {
    const store = await opened(kind);
    const practice = crypto.randomUUID();
    await store.append(practice, [started({ visit: practice, practice: true }), ...wholeVisit.slice(1)]);
    const logs = ward(5);
    await (await store.sample()).add(logs.slice(0, 3));
    await (await store.sample()).add(logs.slice(3));
    expect(await store.list()).toHaveLength(6);
    for (const log of logs) expect(await store.events(log[0]!.visit)).toEqual(log);
    expect((await store.list()).find(({ visit }) => visit === inventedId(2))).toMatchObject({
      startedAt: logs[2]![0]!.at,
      next: logs[2]!.length,
    });
    if (kind === 'sealed') expect(await allThatLies()).not.toContain('Invented learner');
    await (await store.sample()).erase();
    expect((await store.list()).map(({ visit }) => visit)).toEqual([practice]);
    if (kind !== 'memory') expect(await allThatLies()).not.toContain('facade00');
  });

  test('does not come in beside a real visit, nor does a log that is not invented', async () => {
    const store = await opened(kind);
    const real = ward(1)[0]!.map((event) => ({ ...event, visit: visitId }));
    await expect((await store.sample()).add([real])).rejects.toThrow(/event 0: is not of an invented visit/);
    const torn = ward(1)[0]!.filter(({ seq }) => seq !== 4);
    await expect((await store.sample()).add([torn])).rejects.toThrow(/event 4: is not of/);
    const wrong = ward(1)[0]!.map((event) => (event.seq === 1 ? { ...event, fact: { type: 'tea' } } : event));
    await expect((await store.sample()).add([wrong as VisitEvent[]])).rejects.toThrow(/event 1: fact/);
    expect(await store.list()).toEqual([]);
    await store.append(visitId, [started()]);
    await expect((await store.sample()).add(ward(2))).rejects.toThrow(/real visits on this device/);
    expect((await store.list()).map(({ visit }) => visit)).toEqual([visitId]);
    await (await store.sample()).erase();
    expect(await store.list()).toHaveLength(1);
  });
});
