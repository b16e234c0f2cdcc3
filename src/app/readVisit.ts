import { derive } from '../records/derive';
import type { VisitStore } from '../records/types';
import type { LessonShelf } from './lessons';
import type { StoredVisit } from './state';

/** Of the screens of staff, and of the note. */
const staffLanguage = 'en';

/** One visit as it stands in the store, with the lesson it was about. null: its beginning cannot be read. */
export async function readVisit(
  store: Pick<VisitStore, 'events'>,
  lessons: Pick<LessonShelf, 'load'>,
  visit: string,
): Promise<StoredVisit | null> {
  const events = await store.events(visit);
  const started = events.find(({ fact }) => fact.type === 'visit-started')?.fact;
  if (started?.type !== 'visit-started') return null;
  const { module, language } = started.start;
  const lesson = await lessons.load(module, language);
  const record = derive(events, lesson);
  if (language === staffLanguage) return { record, lesson };
  // A module may be there in this language alone.
  const own = await lessons.load(module, staffLanguage).catch(() => null);
  return { record, lesson, ...(own ? { chart: { record: derive(events, own), lesson: own } } : {}) };
}
