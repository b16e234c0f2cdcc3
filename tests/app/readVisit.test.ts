import { expect, it } from 'vitest';
import { LessonShelf } from '../../src/app/lessons';
import { practiceStart } from '../../src/app/practice';
import { readVisit } from '../../src/app/readVisit';
import { readSite } from '../../src/app/site';
import { MemoryStore } from '../../src/records/memory';

const lessons = new LessonShelf();
const { site } = readSite('{}');

async function stored(language: string) {
  const store = new MemoryStore();
  const start = practiceStart(site, await lessons.load('inhaler-spacer', language));
  await store.append(start.visit, [{ type: 'visit-started', start }]);
  return { store, visit: start.visit };
}

it('reads a visit with the lesson it was about', async () => {
  const { store, visit } = await stored('en');
  const read = await readVisit(store, lessons, visit);
  expect(read?.record.start?.visit).toBe(visit);
  expect(read?.lesson.teaching.language).toBe('en');
  expect(read?.chart).toBeUndefined();
});

it('reads one in another language in that of the chart as well', async () => {
  const { store, visit } = await stored('es');
  const read = await readVisit(store, lessons, visit);
  expect(read?.lesson.teaching.language).toBe('es');
  expect(read?.chart?.lesson.teaching.language).toBe('en');
  expect(read?.chart?.record.start?.visit).toBe(visit);
});

it('reads one whose module is there in its own language alone', async () => {
  const { store, visit } = await stored('es');
  const load: LessonShelf['load'] = (module, language) =>
    language === 'en' ? Promise.reject(new Error('no such file')) : lessons.load(module, language);
  const read = await readVisit(store, { load }, visit);
  expect(read?.record.start?.visit).toBe(visit);
  expect(read?.chart).toBeUndefined();
});

it('knows nothing of a visit whose beginning is lost', async () => {
  const { store, visit } = await stored('en');
  await store.append(visit, [{ type: 'help-called', by: 'staff', text: '' }]);
  const without = { events: async () => (await store.events(visit)).slice(1) };
  expect(await readVisit(without, lessons, visit)).toBeNull();
  expect(await readVisit(store, lessons, 'never-there')).toBeNull();
});
