import { expect, test } from 'vitest';
import { MemoryStore } from '../../src/records/memory';
import type { VisitFact } from '../../src/records/types';
import { logOf, otherId, started, visitId, wholeVisit } from './fixtures';

test('memory keeps a visit by the same rules as the disk', async () => {
  const store = new MemoryStore();
  await store.append(visitId, wholeVisit.slice(0, 3));
  await store.append(visitId, wholeVisit.slice(3));
  const events = await store.events(visitId);
  expect(events.map(({ seq }) => seq)).toEqual([...wholeVisit.keys()]);
  expect(events.map(({ fact }) => fact)).toEqual(wholeVisit);
  await expect(store.append(otherId, [started()])).rejects.toMatchObject({ code: 'invalid' });
  await expect(store.append(visitId, [{ type: 'x' } as unknown as VisitFact])).rejects.toMatchObject({
    code: 'invalid',
  });
  expect(await store.openVisits()).toEqual([]);
  expect((await store.list())[0]).toMatchObject({ visit: visitId, finished: 'completed' });
  expect((await store.persist()).kept).toBe(false);
  await store.erase(visitId);
  expect(await store.events(visitId)).toEqual([]);
});

test('memory goes on from events that were read elsewhere, gaps and all', async () => {
  const store = new MemoryStore();
  store.adopt(logOf(wholeVisit).filter(({ seq }) => seq !== 4 && seq < 9));
  const [next] = await store.append(visitId, [{ type: 'resumed' }]);
  expect(next?.seq).toBe(9);
  expect(await store.events(visitId)).toHaveLength(9);
});

test('what memory hands out cannot change what it holds', async () => {
  const store = new MemoryStore();
  const [first] = await store.append(visitId, [started()]);
  if (first?.fact.type === 'visit-started') first.fact.start.learner.name = 'Someone else';
  expect(JSON.stringify(await store.events(visitId))).not.toContain('Someone else');
});
